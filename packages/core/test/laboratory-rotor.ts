import { readFileSync } from 'node:fs';
import { type Convention, toInner } from '../src/conventions/index.js';
import { type ComplexFit, complexLeastSquares } from '../src/linear/index.js';
import { type Complex, fromPolar } from '../src/phasor/index.js';
import { okValue } from './published-vectors.js';

/** The four proximity probes of the laboratory rotor. */
export const probes = ['p1x', 'p1y', 'p2x', 'p2y'] as const;
export type Probe = (typeof probes)[number];

/** One dwell record: the once-per-rev vector of every probe with an unbalance added at 0° on one disk. */
export interface Dwell {
	readonly disk: number;
	readonly unbalanceGMm: number;
	readonly speed: 'N1' | 'N2';
	readonly rpm: number;
	readonly repeat: number;
	/** Volts, as the source states them. */
	readonly volts: Readonly<Record<Probe, Complex>>;
	/** The same as lag phasors of peak velocity in ips. */
	readonly ips: Readonly<Record<Probe, Complex>>;
}

/** By the source's DATA_README; corrections are ratios and do not depend on it. */
const umPerVolt = 127;

const convention: Convention = {
	scale: { unit: 'um', reckoning: 'peak' },
	phase: 'lead',
	pulsePassAngleDeg: 0,
	polarity: 1,
};

function ipsOf(volts: Complex, rpm: number): Complex {
	const level = Math.hypot(volts.re, volts.im) * umPerVolt;
	const phaseDeg = (Math.atan2(volts.im, volts.re) * 180) / Math.PI;
	const inner = okValue(toInner({ level, phaseDeg }, convention, rpm));
	return fromPolar(inner.amplitudeIps, inner.phaseDeg ?? Number.NaN);
}

/** All dwell records of tests/data/rotor-unbalance-ladder. */
export function dwells(): readonly Dwell[] {
	const text = readFileSync(
		new URL('../../../tests/data/rotor-unbalance-ladder/unbalance_1x.csv', import.meta.url),
		'utf8',
	);
	const [head = '', ...lines] = text.trim().split('\n');
	const names = head.split(',');
	return lines.map((line) => {
		const cells = line.split(',');
		const cell = (name: string) => cells[names.indexOf(name)] ?? '';
		const rpm = Number(cell('rpm'));
		const perProbe = <T>(of: (probe: Probe) => T) =>
			Object.fromEntries(probes.map((p) => [p, of(p)])) as Record<Probe, T>;
		const volts = perProbe((p) => ({ re: Number(cell(`${p}_re`)), im: Number(cell(`${p}_im`)) }));
		return {
			disk: Number(cell('disk')),
			unbalanceGMm: Number(cell('U_gmm')),
			speed: cell('speed_id') as 'N1' | 'N2',
			rpm,
			repeat: Number(cell('acq')),
			volts,
			ips: perProbe((p) => ipsOf(volts[p], rpm)),
		};
	});
}

/** Straight line v = v0 + H·U through one probe's records: coefficients are [v0, H per g·mm]. */
export function lineThrough(records: readonly Dwell[], vectorOf: (record: Dwell) => Complex): ComplexFit {
	return okValue(
		complexLeastSquares(
			records.map(({ unbalanceGMm }) => [
				{ re: 1, im: 0 },
				{ re: unbalanceGMm, im: 0 },
			]),
			records.map(vectorOf),
		),
	);
}
