import { readHandover } from '../fold/handover.js';
import type { RecordState } from '../fold/state.js';

/** Something left open before a flight, under the name that a `review` entry uses. */
export interface OpenItem {
	/** `limit/<flight>/<parameter>`, `step/<flight>/<step>`, `setting/<rotor>/<adjuster>`, `agree/<entry>`. */
	readonly item: string;
	/** What was said of it before this flight; null when nobody went through it, `differ` when pens say different things. */
	readonly reviewed: 'confirmed' | 'open' | 'differ' | null;
}

/** Everything open from before flight `flight`, and whether it was gone through for it. @rule JDG-11 */
export function openItems(state: RecordState, flight: number): readonly OpenItem[] {
	const { limitsUndecided, stepsLeft, notMeasured, toAgree } = readHandover(state);
	const items = [
		...limitsUndecided.filter((one) => one.flight < flight).map((one) => `limit/${one.flight}/${one.parameter}`),
		...stepsLeft.filter((one) => one.flight < flight).map((one) => `step/${one.flight}/${one.step}`),
		...notMeasured
			.filter(({ setting }) => setting.after < flight)
			.map(({ rotor, setting }) => `setting/${rotor}/${setting.adjuster}`),
		...toAgree
			.flatMap(({ entries }) => entries.slice(0, 1))
			.filter((entry) => !('flight' in entry) || entry.flight < flight)
			.map(({ hash }) => `agree/${hash}`),
	];
	return items.map((item) => {
		const said = state.reviews.get(`${flight}/${item}`);
		return { item, reviewed: said === undefined ? null : (said.holds?.state ?? 'differ') };
	});
}
