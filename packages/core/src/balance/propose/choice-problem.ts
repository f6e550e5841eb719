import { squareRootRows } from '../../linear/index.js';
import type { ChoiceConstraint, ChoiceProblem, ChoiceTerm, ChoiceVariable } from '../choice/types.js';
import { type RotorLayout, wasRead } from '../learn/layout.js';
import { levelsAt } from '../predict/level.js';
import { currentSettings } from '../predict/outlook.js';
import type { Forecast } from '../predict/predict.js';
import { nextScatter } from '../predict/reading.js';
import { allowedSettings, isMass } from './allowed.js';
import { amountInStock, sharesPieces } from './pieces.js';
import { trackTerms } from './track.js';

/**
 * The rotor as a discrete choice: per channel the rows of (mean, z·sd) over the goal, so that a row's squared length is
 * r² = (|m|² + z²·s²)/goal² exactly, as the spread is quadratic in the settings. Setting errors of a fresh bend are
 * left out here (they don't depend on how far it is bent) and are in the prediction.
 */
export function choiceProblem(forecast: Forecast, cautionSd: number, maxTouches: number): ChoiceProblem {
	const { posterior } = forecast;
	const { layout } = posterior;
	const { problem } = layout;
	const now = currentSettings(posterior);
	const scatter = nextScatter(posterior, levelsAt(posterior, forecast.outlooks, forecast.parts, now));
	const terms = layout.channels.flatMap((channel, k): ChoiceTerm[] => {
		if (!wasRead(layout, k)) return [];
		const goal = channel.goalIps ?? channel.limitIps;
		const { meanRows, form, size } = momentsOf(forecast, k);
		const floor = scatter.ownVariance[k]! + scatter.sharedSd[k]! ** 2;
		const relative = problem.noise.sdRelative ?? 0;
		form[0]! += floor;
		const spread = squareRootRows(form, size).map((row) => row.map((v) => (cautionSd * v) / goal));
		const grown = Math.sqrt(1 + (cautionSd * relative) ** 2) / goal;
		const rows = [...meanRows.map((row) => row.map((v) => v * grown)), ...spread];
		return [
			{
				id: channel.id,
				rows: rows.map((row) => row.slice(1)),
				// rows count settings from the reference
				offset: rows.map((row) => row[0]! - layout.reference.reduce((sum, ref, j) => sum + row[1 + j]! * ref, 0)),
				weight: channel.weight ?? 1,
			},
		];
	});
	const runs = layout.runs.map((r) => r.run);
	return {
		terms: [...terms, ...trackTerms(problem, runs, now, cautionSd)],
		variables: choiceVariables(layout, now),
		constraints: constraintsOf(layout, now),
		maxTouches,
		objective: problem.objective === 'weighted-squares' ? 'weighted-squares' : 'worst',
	};
}

/** The adjusters as variables of the choice; one whose kind has no coefficient stays where it is. */
export function choiceVariables(layout: RotorLayout, now: Float64Array): ChoiceVariable[] {
	return layout.adjusters.map((adjuster, j): ChoiceVariable => {
		const usable = layout.kindOf[j]! >= 0;
		return {
			id: adjuster.id,
			kind: adjuster.kind,
			current: now[j]!,
			allowed: usable ? allowedSettings(layout.problem, adjuster, now[j]!) : [now[j]!],
			effort: adjuster.effort ?? 1,
			mass: isMass(adjuster) ? 1 : 0,
		};
	});
}

/** Mean and mean spread per axis of channel k over (1, settings moved): rows of the mean, quadratic form of the spread. */
function momentsOf(forecast: Forecast, k: number): { meanRows: number[][]; form: Float64Array; size: number } {
	const { outlooks, parts, posterior } = forecast;
	const adjusters = posterior.layout.adjusters.length;
	const size = 1 + adjusters;
	const form = new Float64Array(size * size);
	const meanRows = [new Array<number>(size).fill(0), new Array<number>(size).fill(0)];
	const folded = outlooks.map((outlook) => {
		const width = outlook.width;
		const means = outlook.means[k]!;
		const spreads = outlook.spreads[k]!;
		const mean = new Float64Array(2 * size);
		const spread = new Float64Array(2 * size * width);
		for (let p = 0; p < parts.count; p++) {
			// a bend error in force belongs to what is there already
			const to = p <= parts.bent.length ? 0 : p - parts.bent.length;
			mean[2 * to]! += means[2 * p]!;
			mean[2 * to + 1]! += means[2 * p + 1]!;
			for (let i = 0; i < 2 * width; i++) spread[2 * to * width + i]! += spreads[2 * p * width + i]!;
		}
		for (let i = 0; i < size; i++) {
			meanRows[0]![i]! += outlook.weight * mean[2 * i]!;
			meanRows[1]![i]! += outlook.weight * mean[2 * i + 1]!;
		}
		return { mean, spread, width, weight: outlook.weight };
	});
	for (const { mean, spread, width, weight } of folded) {
		for (let a = 0; a < size; a++) {
			for (let b = 0; b <= a; b++) {
				let sum = 0;
				for (let i = 0; i < 2 * width; i++) sum += spread[2 * a * width + i]! * spread[2 * b * width + i]!;
				for (const axis of [0, 1] as const) {
					sum += (mean[2 * a + axis]! - meanRows[axis]![a]!) * (mean[2 * b + axis]! - meanRows[axis]![b]!);
				}
				form[a * size + b]! += (weight * sum) / 2;
				if (a !== b) form[b * size + a]! += (weight * sum) / 2;
			}
		}
	}
	return { meanRows, form, size };
}

function constraintsOf(layout: RotorLayout, now: Float64Array): ChoiceConstraint[] {
	const { problem, adjusters } = layout;
	const constraints: ChoiceConstraint[] = [];
	const ofKind = (kind: string, share: number): number[] => adjusters.map((a) => (a.kind === kind ? share : 0));
	const total = (coefficients: readonly number[]): number => coefficients.reduce((sum, c, j) => sum + c * now[j]!, 0);
	for (const [kind, loose] of Object.entries(problem.stock ?? {})) {
		const coefficients = ofKind(kind, 1);
		constraints.push({ coefficients, atMost: loose + total(coefficients) });
	}
	for (const kind of new Set(adjusters.map((a) => a.kind))) {
		// follows from the pieces' stock, which is looked at layout by layout: it spares most of that looking
		const amount = sharesPieces(adjusters) ? amountInStock(adjusters, kind) : null;
		const coefficients = ofKind(kind, 1);
		if (amount !== null) constraints.push({ coefficients, atMost: Math.max(amount, total(coefficients)) + 1e-9 });
	}
	for (const [kind, limit] of Object.entries(problem.rotor.meanChangeLimit ?? {})) {
		for (const sign of [1, -1]) {
			const coefficients = ofKind(kind, sign / problem.rotor.blades.length);
			constraints.push({ coefficients, atMost: limit + total(coefficients) + 1e-9 });
		}
	}
	return constraints;
}
