import { fleetPriors, type KindPrior, solveRotor } from '../../src/balance/index.js';
import { type Campaign, campaign } from './campaign.js';
import type { Cell } from './cells.js';
import { seeded } from './seeded.js';
import { commonErrors, drawRotor, problemOf, type SimulatedRotor } from './simulated-rotor.js';
import { FIXED_TABLE, learning, ORACLE, type Strategy } from './strategies.js';

/** A rotor and what one strategy made of it. */
export interface Flown {
	readonly rotor: SimulatedRotor;
	readonly strategy: Strategy['id'];
	readonly campaign: Campaign;
	/** Rotors of one group share the error of their table. */
	readonly group: number;
}

/** Flies every strategy of a cell on the same rotors with the same luck. */
export function flyCell(cell: Cell, firstSeed: number, rotors: number, nowMs: () => number): Flown[] {
	const flown: Flown[] = [];
	let count = 0;
	for (let seed = firstSeed; count < rotors; seed++) {
		const { rotor, priors } = cell.fleet ? drawFromFleet(cell, seed, nowMs) : drawAlone(cell, seed);
		const strategies = [FIXED_TABLE, learning(), ...(priors === undefined ? [] : [learning(priors)]), ORACLE];
		const results = strategies.map((strategy) => ({
			rotor,
			strategy: strategy.id,
			campaign: campaign(rotor, strategy, seeded(7_000_000 + seed), nowMs),
		}));
		// The first run is the same for all: a rotor that needs nothing is drawn anew.
		if (results.some((result) => result.campaign === null)) continue;
		for (const { strategy, campaign: done } of results)
			if (done !== null) flown.push({ rotor, strategy, campaign: done, group: cell.fleet ? typeOf(seed) : seed });
		count++;
	}
	return flown;
}

function drawAlone(cell: Cell, seed: number): { rotor: SimulatedRotor; priors?: readonly KindPrior[] } {
	return { rotor: drawRotor(cell.shape, cell.wrong, seeded(seed)) };
}

/** Tails of one type: 20 earlier ones are corrected first, and their checks make the prior of this one. */
function drawFromFleet(
	cell: Cell,
	seed: number,
	nowMs: () => number,
): { rotor: SimulatedRotor; priors: readonly KindPrior[] } {
	const { gainSd, phaseSdDeg, tails } = cell.fleet!;
	// A few tails share a type: its error is drawn anew, and its fleet flown anew, for the next few.
	const type = typeOf(seed);
	const kinds = [...new Set(cell.shape.adjusters.map((adjuster) => adjuster.kind))];
	const common = commonErrors(
		kinds,
		cell.wrong.gainSd * Math.sqrt(TYPE_SHARE),
		cell.wrong.phaseSdDeg * Math.sqrt(TYPE_SHARE),
		seeded(3_000_000 + type),
	);
	const draw = (rotorSeed: number) => {
		const rotor = drawRotor(cell.shape, { ...cell.wrong, gainSd, phaseSdDeg }, seeded(rotorSeed), {
			common,
			gainSd,
			phaseSdDeg,
		});
		const phaseRad = (cell.wrong.phaseSdDeg * Math.PI) / 180;
		return { ...rotor, statedSdRelative: Math.sqrt((cell.wrong.gainSd ** 2 + phaseRad ** 2) / 2) };
	};
	const key = `${cell.id} ${type}`;
	let priors = known.get(key);
	if (priors === undefined) {
		const learned = [];
		for (let tail = 1; learned.length < tails; tail++) {
			const rotor = draw(5_000_000 + 1000 * type + tail);
			const done = campaign(rotor, learning(), seeded(6_000_000 + 1000 * type + tail), nowMs);
			if (done === null) continue;
			const solved = solveRotor(problemOf(rotor, done.runs), { draws: 100 });
			if (!solved.ok) throw new Error(JSON.stringify(solved.problem));
			learned.push(solved.value.learned);
		}
		const fleet = fleetPriors(learned);
		if (!fleet.ok) throw new Error(JSON.stringify(fleet.problem));
		priors = fleet.value;
		known.clear();
		known.set(key, priors);
	}
	return { rotor: draw(seed), priors };
}

function typeOf(seed: number): number {
	return Math.ceil(seed / TAILS_PER_TYPE);
}

const TAILS_PER_TYPE = 10;
/** Share of the error variance that tails of a type have in common; with what they differ by it makes the size stated. */
const TYPE_SHARE = 0.9;
/** Priors of the type at hand, so that its fleet is flown once. */
const known = new Map<string, readonly KindPrior[]>();
