import type { BleedPart, BleedVerdict } from '@stillmast/core/bleed';
import { type Card, type CardFieldOf, consumerParts, fieldSubjects } from '@stillmast/formats/card';
import type { TypeData } from '@stillmast/formats/type-data';
import type { RecordState } from '@stillmast/record';
import { type ConsumerStanding, consumerStanding } from '@stillmast/record/judge';
import type { BleedRise, HeldTemperature } from '$lib/parts/bleed/bleed-staircase.view.js';
import { fill } from '$lib/words/fill.js';
import { glass } from '$lib/words/glass.js';
import { judged as words } from '$lib/words/judged.js';
import { numberText } from '$lib/words/number.js';
import { fieldsOf, newestFlightOf } from './card-fields.view.js';
import { partWords } from './timed-parts.view.js';

/** One consumer's check of the newest flight that has anything of it. */
export interface BleedSheet {
	readonly id: string;
	readonly title: string;
	readonly name: string;
	readonly verdict: BleedVerdict | null;
	/** For the staircase; null before the first part is written. */
	readonly rise: BleedRise | null;
	readonly sentences: readonly string[];
	readonly reference: string;
}

/** Half of the range that holds a value 95 times in 100. */
const z975 = 1.96;

export function bleedSheets(state: RecordState, card: Card, typeData: TypeData): BleedSheet[] {
	return fieldsOf(card, 'consumer').map((field) => {
		const flight = newestFlightOf(state, field.id);
		const nothing = { id: field.id, name: field.name, verdict: null, rise: null, reference: '' } as const;
		if (flight === null) {
			return { ...nothing, title: field.name, sentences: [fill(words.notFlown, { name: field.name })] };
		}
		const standing = consumerStanding(state, typeData, field, flight);
		const { rule, judgement } = standing;
		const title = fill(words.titleIn, { name: field.name, flight: String(flight) });
		if (rule === null) return { ...nothing, title, sentences: [fill(words.noRule, { name: field.name })] };
		return {
			id: field.id,
			name: field.name,
			title,
			verdict: judgement?.verdict ?? null,
			rise: riseOf(standing.parts, rule.riseC),
			sentences: sentencesOf(standing, field, typeData),
			reference: rule.reference,
		};
	});
}

function riseOf(
	parts: ConsumerStanding['parts'],
	{ least, most }: { readonly least: number; readonly most: number },
): BleedRise | null {
	const held = (part: BleedPart | undefined): HeldTemperature | null =>
		part === undefined
			? null
			: {
					valueC: part.temperatureC,
					low95C: part.temperatureC - z975 * part.temperatureSdC,
					high95C: part.temperatureC + z975 * part.temperatureSdC,
				};
	const offC = held(parts['off-before']);
	if (offC === null) return null;
	return {
		offC,
		onC: held(parts.on),
		offAgainC: held(parts['off-after']),
		expectedRiseC: { low: least, high: most },
	};
}

function sentencesOf(standing: ConsumerStanding, field: CardFieldOf<'consumer'>, typeData: TypeData): string[] {
	const { rule, judgement, problem, parts, missing, differing, timesBy } = standing;
	const degrees = (value: number) => `${numberText(value, { digits: 1, signed: true })} \u00b0C`;
	const subjects = fieldSubjects(field, typeData);
	const names = (list: readonly string[]) =>
		list
			.map((subject) => {
				const found = subjects.find((one) => one.subject === subject);
				return found === undefined
					? subject
					: fill(glass.part, { part: partWords(found.part ?? ''), name: found.name });
			})
			.join(', ');
	const notHeld = consumerParts.filter((part) => parts[part] !== undefined && parts[part].heldS === 0);
	return [
		...(rule === null
			? []
			: [
					fill(words.expected, {
						low: numberText(rule.riseC.least, { digits: 0 }),
						high: `${numberText(rule.riseC.most, { digits: 0 })} \u00b0C`,
					}),
				]),
		...(judgement === null
			? []
			: [
					fill(words.rise, {
						rise: degrees(judgement.riseC),
						low: numberText(judgement.rise95C[0], { digits: 1, signed: true }),
						high: degrees(judgement.rise95C[1]),
					}),
					judgement.sure ? words.sure.yes : words.sure.no,
					fill(words.drift, { drift: degrees(judgement.driftC) }),
				]),
		...(missing.length > 0 ? [fill(words.missing, { what: names(missing) })] : []),
		...(differing.length > 0 ? [fill(words.differing, { what: names(differing) })] : []),
		...(problem === null ? [] : [fill(words.cannot, { reason: words.problems[problem.code] })]),
		...(notHeld.length > 0 ? [`${notHeld.map(partWords).join(', ')}: ${glass.notHeld}.`] : []),
		...(timesBy === 'order' ? [words.order] : []),
	];
}
