import { fail, ok, type Problem, type Result } from '@stillmast/core/result';
import type { Card } from '@stillmast/formats/card';
import type { FieldsOf } from '@stillmast/formats/entry';
import type { TypeData } from '@stillmast/formats/type-data';
import { fill } from '$lib/words/fill.js';
import { limitsPassed as words } from '$lib/words/limits-passed.js';
import { readNumber } from '$lib/words/number.js';

type LimitLine = TypeData['limits'][number];

/** A form as typed. Empty = not said. */
export interface WitnessForm {
	readonly flight: number;
	/** The line that the times refer to. */
	readonly line: string;
	/** Title of the step; empty = cannot say. */
	readonly step: string;
	readonly sure: string;
	readonly possible: string;
	readonly atLeastS: string;
	readonly atMostS: string;
	readonly text: string;
}

export interface MemoryForm {
	readonly instrument: string;
	readonly peak: string;
	readonly accuracy: string;
	readonly threshold: string;
	readonly timeBeyondS: string;
	readonly timeAccuracyS: string;
	/** When it was cleared before the flight, as an instant; null when nobody knows. */
	readonly clearedAt: string | null;
}

export interface DecisionForm {
	readonly peakMost: string;
	readonly timeMostS: string;
	readonly reason: string;
	readonly reference: string;
	readonly action: string;
}

/** Why a form is not taken: a sentence for the person, as `found`. */
export interface FormTrouble extends Problem {
	readonly code: 'form';
	readonly found: string;
}

/** Lines of a step, the conditional ones that it allows and those that always hold; all of the parameter without a step. */
export function linesIn(typeData: TypeData, card: Card, parameter: string, stepTitle: string): LimitLine[] {
	const lines = typeData.limits.filter((line) => line.parameter === parameter);
	const step = card.steps.find(({ title }) => title === stepTitle);
	if (step === undefined) return lines;
	const allowed = lines.filter(({ id, when }) => when === undefined || step.lines.includes(id));
	return allowed.length === 0 ? lines : allowed;
}

/** @param askedAlone no other answer was open when this one was written */
export function readWitness(
	form: WitnessForm,
	line: LimitLine,
	askedAlone: boolean,
): Result<FieldsOf<'witness'>, FormTrouble> {
	const numbers = readAll({
		[label(line, 'sure')]: form.sure,
		[label(line, 'possible')]: form.possible,
		[words.atLeastS]: form.atLeastS,
		[words.atMostS]: form.atMostS,
	});
	if (!numbers.ok) return numbers;
	const [peakSure = null, peakPossible = null, timeAtLeastS = null, timeAtMostS = null] = numbers.value;
	if (numbers.value.every((one) => one === null)) return trouble(words.empty);
	const sense = line.below === undefined ? 1 : -1;
	if (peakSure !== null && peakPossible !== null && sense * (peakPossible - peakSure) < 0) {
		return turned(label(line, 'possible'), label(line, 'sure'));
	}
	if (timeAtLeastS !== null && timeAtMostS !== null && timeAtMostS < timeAtLeastS) {
		return turned(words.atMostS, words.atLeastS);
	}
	return ok({
		flight: form.flight,
		parameter: line.parameter,
		unit: line.unit,
		peakSure,
		peakPossible,
		above: line.above ?? line.below ?? null,
		timeAtLeastS,
		timeAtMostS,
		phase: form.step,
		askedAlone,
		...(form.text.trim() === '' ? {} : { text: form.text.trim() }),
	});
}

/** A witness who saw nothing of it: counts as heard, claims nothing. */
export function sawNothing(form: WitnessForm, line: LimitLine, askedAlone: boolean): FieldsOf<'witness'> {
	return {
		flight: form.flight,
		parameter: line.parameter,
		unit: line.unit,
		peakSure: null,
		peakPossible: null,
		above: null,
		timeAtLeastS: null,
		timeAtMostS: null,
		phase: form.step,
		askedAlone,
	};
}

export function readMemory(
	form: MemoryForm,
	about: { readonly flight: number; readonly parameter: string; readonly unit: string },
): Result<FieldsOf<'memory'>, FormTrouble> {
	const numbers = readAll({
		[words.peak]: form.peak,
		[words.accuracy]: form.accuracy,
		[words.threshold]: form.threshold,
		[words.timeBeyondS]: form.timeBeyondS,
		[words.timeAccuracyS]: form.timeAccuracyS,
	});
	if (!numbers.ok) return numbers;
	const [peak = null, peakAccuracy = null, threshold = null, timeAboveS = null, timeAccuracyS = null] = numbers.value;
	if (peak === null && timeAboveS === null) return trouble(words.empty);
	return ok({
		flight: about.flight,
		parameter: about.parameter,
		unit: about.unit,
		peak,
		peakAccuracy,
		timeAboveS,
		timeAccuracyS,
		threshold,
		clearedAt: form.clearedAt,
		instrument: form.instrument.trim(),
	});
}

export interface Narrowed {
	readonly peakMost: number | null;
	readonly timeMostS: number | null;
	readonly reason: string;
	readonly reference: string;
	readonly action: string;
}

export function readDecision(form: DecisionForm, line: LimitLine): Result<Narrowed, FormTrouble> {
	const numbers = readAll({
		[line.below === undefined ? words.peakMost : words.peakLeast]: form.peakMost,
		[words.timeMost]: form.timeMostS,
	});
	if (!numbers.ok) return numbers;
	const [reason, reference, action] = [form.reason.trim(), form.reference.trim(), form.action.trim()];
	if (reason === '' || reference === '') return trouble(words.needReason);
	const [peakMost = null, timeMostS = null] = numbers.value;
	return ok({ peakMost, timeMostS, reason, reference, action });
}

/** "Highest you are sure of"; the lowest where the limit lies below. */
export function label(line: LimitLine, field: 'sure' | 'possible'): string {
	if (line.below === undefined) return field === 'sure' ? words.highestSure : words.highestPossible;
	return field === 'sure' ? words.lowestSure : words.lowestPossible;
}

/** Typed numbers by their labels, in order; empty ones are null. */
function readAll(texts: Readonly<Record<string, string>>): Result<(number | null)[], FormTrouble> {
	const read: (number | null)[] = [];
	for (const [field, text] of Object.entries(texts)) {
		if (text.trim() === '') {
			read.push(null);
			continue;
		}
		const number = readNumber(text);
		if (number === null) return trouble(fill(words.notNumber, { field }));
		read.push(number);
	}
	return ok(read);
}

function turned(possible: string, sure: string): Result<never, FormTrouble> {
	return trouble(fill(words.turned, { possible, sure }));
}

function trouble(found: string): Result<never, FormTrouble> {
	return fail({ code: 'form', found });
}
