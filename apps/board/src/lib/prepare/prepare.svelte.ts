import type { Problem, Result } from '@stillmast/core/result';
import {
	type ConditionQuantity,
	conditionField,
	conditionQuantities,
	flightFields,
	readCrew,
} from '@stillmast/record/judge';
import { all, type Done } from '$lib/check/actions.js';
import { flightNow } from '$lib/check/place.view.js';
import type { LiveCheck } from '$lib/live/live-check.svelte.js';
import { fill } from '$lib/words/fill.js';
import { prepare as words } from '$lib/words/prepare.js';
import { type HeadLine, readDrafts } from './head-line.js';
import { declareLicence, licenceField } from './licence.js';

type Values = ReadonlyMap<string, string | number | null>;

/** The page of preparation: what is typed on it, and what keeping a sheet writes. */
export class Preparation {
	readonly check: LiveCheck;
	/** What stands in boxes that somebody has touched, by field. */
	drafts: Record<string, string> = $state({});
	/** Why the sheet that was kept last was not taken, by its name. */
	trouble: { readonly sheet: string; readonly words: string } | null = $state(null);

	constructor(check: LiveCheck) {
		this.check = check;
	}

	type(field: string, text: string): void {
		this.drafts[field] = text;
	}

	troubleOf(sheet: string): string | null {
		return this.trouble?.sheet === sheet ? this.trouble.words : null;
	}

	get mayWrite(): boolean {
		return this.check.may('header');
	}

	/** The flight that is open, else the next one. */
	get flight(): { readonly number: number; readonly isOpen: boolean } {
		const { flight, isFlying } = flightNow(this.check.state);
		return isFlying ? { number: flight, isOpen: true } : { number: flight + 1, isOpen: false };
	}

	keepHeader(sheet: string, lines: readonly HeadLine[]): Promise<void> {
		return this.#keep(sheet, lines, (values) => this.#writeHeader(lines, values));
	}

	/** Before its flight is opened a condition stands in the header; afterwards the flight says it. */
	keepConditions(sheet: string, lines: readonly HeadLine[]): Promise<void> {
		const { number: flight, isOpen } = this.flight;
		return this.#keep(sheet, lines, (values) => {
			if (isOpen) return this.#stateFlight(flight, values);
			const prefixed = new Map([...values].map(([field, value]) => [conditionField(flight, quantityOf(field)), value]));
			const named = lines.map((line) => ({ ...line, field: conditionField(flight, quantityOf(line.field)) }));
			return this.#writeHeader(named, prefixed);
		});
	}

	async keepLicence(sheet: string, licence: string): Promise<void> {
		const field = licenceField(this.check.pen.key.fingerprint);
		const written = await this.check.session.write('header', { field, value: licence.trim(), unit: '' });
		this.#tell(sheet, written);
	}

	async #keep(sheet: string, lines: readonly HeadLine[], write: (values: Values) => Promise<Done>): Promise<void> {
		const read = readDrafts(lines, this.drafts);
		if (!read.ok) {
			this.trouble = { sheet, words: read.problem.found };
			return;
		}
		const written = await write(read.value);
		if (written.ok) for (const field of read.value.keys()) delete this.drafts[field];
		const declared = written.ok ? await declareLicence(this.check) : written;
		this.#tell(sheet, declared);
	}

	#writeHeader(lines: readonly HeadLine[], values: Values): Promise<Done> {
		return all(
			...lines
				.filter(({ field }) => values.has(field))
				.map(
					({ field, unit }) =>
						() =>
							this.check.session.write('header', { field, value: values.get(field) ?? '', unit }),
				),
		);
	}

	#stateFlight(flight: number, values: Values): Promise<Done> {
		const changed = Object.fromEntries(
			conditionQuantities.flatMap((quantity) => {
				const value = values.get(quantity);
				return typeof value === 'number' || value === null ? [[quantity, value] as const] : [];
			}),
		);
		const { state, session } = this.check;
		const crew = values.has('crew') ? readCrew(String(values.get('crew') ?? '')) : undefined;
		return all(() => session.write('flight', flightFields(state, flight, changed, crew)));
	}

	#tell(sheet: string, written: Result<unknown, Problem>): void {
		this.trouble = written.ok ? null : { sheet, words: fill(words.failed, { reason: written.problem.code }) };
	}
}

function quantityOf(field: string): ConditionQuantity | 'crew' {
	return conditionQuantities.find((quantity) => quantity === field) ?? 'crew';
}
