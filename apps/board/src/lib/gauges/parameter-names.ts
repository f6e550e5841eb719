import type { TypeData } from '@stillmast/formats/type-data';
import { digitsOf } from '$lib/check/ask.js';
import { gauges as words } from '$lib/words/gauges.js';

/** How a gauge is called and written. */
export interface GaugeNaming {
	readonly name: string;
	readonly unit: string;
	readonly digits: number;
}

const usualDigits = 1;

/** By the type data where they name the parameter; else by the board's words or its id, with the unit if one is stated. */
export function namingOf(typeData: TypeData, id: string): GaugeNaming {
	const known = [
		...(typeData.holds ?? []).flatMap(({ parameters }) => parameters),
		...(typeData.transitions ?? []).flatMap(({ watch }) => watch),
	].find((one) => one.id === id);
	if (known !== undefined) return { name: known.name, unit: known.unit, digits: digitsOf(known.resolution) };
	const documented = typeData.limitDocuments?.flatMap(({ parameters }) => parameters).find((one) => one.id === id);
	const { unit = '', resolution } = documented ?? {};
	const names: Readonly<Record<string, string>> = words.names;
	const name = Object.hasOwn(names, id) ? (names[id] ?? id) : id;
	return { name, unit, digits: resolution === undefined ? usualDigits : digitsOf(resolution) };
}
