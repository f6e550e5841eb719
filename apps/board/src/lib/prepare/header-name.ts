import { fill } from '$lib/words/fill.js';
import { prepare as words } from '$lib/words/prepare.js';

/** What a header field is called: "work order", "Instrument 1, serial number", "outside air, flight 2". */
export function headerName(field: string): string {
	const [head = '', number = '', part] = field.split('/');
	switch (head) {
		case 'gear':
			return fill(words.partOf, {
				whole: fill(words.gearOf, { number }),
				part: named(words.gearFields, part ?? 'name'),
			});
		case 'flight':
			return fill(words.partOf, {
				whole: part === 'crew' ? words.crew : named(words.conditionNames, part ?? ''),
				part: fill(words.flight, { flight: number }),
			});
		case 'licence':
			return words.licenceName;
		default:
			return named(words.fields, field);
	}
}

function named(names: Readonly<Record<string, string>>, name: string): string {
	return Object.hasOwn(names, name) ? (names[name] ?? name) : name;
}
