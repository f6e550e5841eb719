import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { inflateSync } from 'node:zlib';

const require = createRequire(import.meta.url);

/** Bytes of one table of the packaged B612 (WOFF 1.0, W3C Recommendation 2012, section 4: the table directory). */
export function fontTable(tag: string, weight: 400 | 700): Buffer {
	const file = readFileSync(require.resolve(`@fontsource/b612/files/b612-latin-${weight}-normal.woff`));
	const tableCount = file.readUInt16BE(12);
	for (let index = 0; index < tableCount; index += 1) {
		const at = 44 + 20 * index;
		if (file.toString('latin1', at, at + 4) !== tag) continue;
		const offset = file.readUInt32BE(at + 4);
		const packed = file.subarray(offset, offset + file.readUInt32BE(at + 8));
		return packed.length < file.readUInt32BE(at + 12) ? inflateSync(packed) : packed;
	}
	throw new Error(`The font has no ${tag} table`);
}

/** Code points the font has a glyph for: cmap format 4 (OpenType 1.9). */
export function glyphsOfTypeface(weight: 400 | 700): ReadonlySet<number> {
	const cmap = fontTable('cmap', weight);
	const found = new Set<number>();
	for (let index = 0; index < cmap.readUInt16BE(2); index += 1) {
		const at = cmap.readUInt32BE(4 + 8 * index + 4);
		if (cmap.readUInt16BE(at) !== 4) continue;
		const segments = cmap.readUInt16BE(at + 6) / 2;
		for (let segment = 0; segment < segments; segment += 1) {
			const end = cmap.readUInt16BE(at + 14 + 2 * segment);
			const start = cmap.readUInt16BE(at + 16 + 2 * segments + 2 * segment);
			for (let code = start; code <= end && code < 0xffff; code += 1) found.add(code);
		}
	}
	return found;
}
