import { fail, ok, type Result } from '@stillmast/core/result';
import { type SignalFileFault, shown } from './fault.js';

/** How the values of a dataset are kept, by its ordinate data type. */
export interface UffForm {
	readonly complex: boolean;
	readonly double: boolean;
}

/** The eleven lines before the values of a dataset 58. */
export interface UffHead {
	/** Free text lines 1 to 5. */
	readonly text: readonly string[];
	/** 1 is a time response; others are spectra and frequency responses. */
	readonly functionType: number;
	readonly responseName: string;
	readonly responseNode: number;
	readonly responseDirection: number;
	readonly form: UffForm;
	readonly count: number;
	readonly even: boolean;
	readonly abscissaStart: number;
	readonly abscissaStep: number;
	readonly abscissaUnit: string;
	readonly ordinateName: string;
	readonly ordinateUnit: string;
}

const forms: Readonly<Record<number, UffForm>> = {
	2: { complex: false, double: false },
	4: { complex: false, double: true },
	5: { complex: true, double: false },
	6: { complex: true, double: true },
};

/**
 * Reads the eleven head lines. Names stand in fixed columns and may hold blanks; numbers are taken apart at blanks, since
 * exporters differ in their widths.
 * Source: Universal File Format, dataset 58 (Structural Dynamics Research Laboratory, public description; from memory).
 */
export function readUffHead(lines: readonly string[], place: string): Result<UffHead, SignalFileFault> {
	const [form = '', axis = '', ordinate = ''] = lines.slice(6, 9);
	const who = lines[5] ?? '';
	const [typeCode, count, even, start, step] = form.trim().split(/\s+/).map(Number);
	const known = forms[typeCode ?? 0];
	const right = [count, even, start, step].every((value) => value !== undefined && Number.isFinite(value));
	if (lines.length < 11 || !right || !(Number.isInteger(count) && (count ?? -1) >= 0)) {
		return fail({
			code: 'not-this-format',
			found: shown(form),
			needed: 'type, count, spacing, start and step',
			path: `${place}, line 7`,
		});
	}
	if (!known)
		return fail({
			code: 'not-supported',
			found: `ordinate data type ${typeCode}`,
			needed: '2, 4, 5 or 6',
			path: `${place}, line 7`,
		});
	return ok({
		text: lines.slice(0, 5).map((line) => line.trim()),
		functionType: Number.parseInt(who.slice(0, 5), 10),
		responseName: who.slice(31, 41).trim(),
		responseNode: Number.parseInt(who.slice(41, 51), 10),
		responseDirection: Number.parseInt(who.slice(51, 55), 10),
		form: known,
		count: count as number,
		even: even === 1,
		abscissaStart: start as number,
		abscissaStep: step as number,
		abscissaUnit: axis.slice(46, 66).trim(),
		ordinateName: ordinate.slice(25, 45).trim(),
		ordinateUnit: ordinate.slice(46, 66).trim(),
	});
}
