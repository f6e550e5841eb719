import type { Result } from '../result/index.js';
import type { OrdersAnswer } from './orders-answer.js';
import type { Samples } from './pulse-detector.js';
import type { SignalProblem, SignalSetup } from './setup.js';
import { SignalReducer } from './signal-reducer.js';

/**
 * From raw signals to order readings: pulses, missed and double ones, revolutions at equal angles, order phasors in
 * blocks of revolutions, sensor chain, integration to peak velocity in ips (docs/methods/signals.md).
 * @param columns every channel of the setup and its pulse column, by name, equally long; missing samples are NaN
 * Problems: `bad-setup`, `missing-column`, `uneven-columns`, `no-pulses`, `too-few-revolutions`, `order-too-high`.
 */
export function reduceSignals(
	setup: SignalSetup,
	columns: Readonly<Record<string, Samples>>,
): Result<OrdersAnswer, SignalProblem> {
	const started = SignalReducer.start(setup);
	if (!started.ok) return started;
	const pushed = started.value.push(columns);
	if (!pushed.ok) return pushed;
	return started.value.finish();
}
