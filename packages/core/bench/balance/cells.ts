import { type RotorShape, SHAPES } from './rotor-shape.js';
import type { Wrongness } from './simulated-rotor.js';

/** One row of the convergence table: a kind of rotor and how wrong its table is. */
export interface Cell {
	readonly id: string;
	readonly shape: RotorShape;
	readonly wrong: Wrongness;
	/** Tails of the type differ by this; the table's error is then common to all of them. */
	readonly fleet?: { readonly gainSd: number; readonly phaseSdDeg: number; readonly tails: number };
	/** Issue targets for the learning strategy, where there are any. */
	readonly target?: { readonly mean: number; readonly p95: number; readonly never: number };
}

const MILD = { gainSd: 0.15, phaseSdDeg: 15 };
const WRONG = { gainSd: 0.3, phaseSdDeg: 30 };
const BAD = { gainSd: 0.45, phaseSdDeg: 50 };
const PLAIN = { statedShare: 1, remainderSdIps: 0.01, defectIps: 0 };
const FLEET = { gainSd: 0.1, phaseSdDeg: 8, tails: 20 };

const { 'three-blade': three, 'five-blade': five, tail } = SHAPES;

export const CELLS: readonly Cell[] = [
	{ id: 'three-blade, mild', shape: three, wrong: { ...MILD, ...PLAIN } },
	{ id: 'three-blade, wrong', shape: three, wrong: { ...WRONG, ...PLAIN }, target: { mean: 1.95, p95: 3, never: 0 } },
	{ id: 'three-blade, bad', shape: three, wrong: { ...BAD, ...PLAIN }, target: { mean: 2.15, p95: 3, never: 0 } },
	{ id: 'five-blade, mild', shape: five, wrong: { ...MILD, ...PLAIN } },
	{ id: 'five-blade, wrong', shape: five, wrong: { ...WRONG, ...PLAIN }, target: { mean: 2.25, p95: 3, never: 0 } },
	{ id: 'five-blade, bad', shape: five, wrong: { ...BAD, ...PLAIN }, target: { mean: 2.7, p95: 3, never: 0 } },
	{ id: 'tail, mild', shape: tail, wrong: { ...MILD, ...PLAIN } },
	{ id: 'tail, wrong', shape: tail, wrong: { ...WRONG, ...PLAIN }, target: { mean: 1.6, p95: 2, never: 1 / 500 } },
	{ id: 'tail, bad', shape: tail, wrong: { ...BAD, ...PLAIN } },
	{ id: 'three-blade, wrong, half stated', shape: three, wrong: { ...WRONG, ...PLAIN, statedShare: 0.5 } },
	{ id: 'five-blade, wrong, half stated', shape: five, wrong: { ...WRONG, ...PLAIN, statedShare: 0.5 } },
	{ id: 'three-blade, wrong, remainder 0.05', shape: three, wrong: { ...WRONG, ...PLAIN, remainderSdIps: 0.05 } },
	{ id: 'five-blade, wrong, remainder 0.05', shape: five, wrong: { ...WRONG, ...PLAIN, remainderSdIps: 0.05 } },
	{ id: 'three-blade, hidden defect', shape: three, wrong: { ...WRONG, ...PLAIN, defectIps: 0.5 } },
	{
		id: 'three-blade, fleet',
		shape: three,
		wrong: { ...WRONG, ...PLAIN },
		fleet: FLEET,
		target: { mean: 1.4, p95: 3, never: 0 },
	},
	{
		id: 'five-blade, fleet',
		shape: five,
		wrong: { ...WRONG, ...PLAIN },
		fleet: FLEET,
		target: { mean: 1.8, p95: 3, never: 0 },
	},
];
