import { type JsonSchema, toJsonSchema } from '@valibot/to-json-schema';
import type * as v from 'valibot';
import { describe, expect, it } from 'vitest';
import { documentSchemas } from '../src/documents/index.js';
import { envelopeSchema, hashText, kindSchemas } from '../src/entry/index.js';

/** The committed files are written by `npx vitest run test/json-schema.test.ts -u` in this folder. */
const draft = 'https://json-schema.org/draft/2020-12/schema';

function exported(schema: v.GenericSchema<unknown, unknown>): JsonSchema {
	return toJsonSchema(schema, {
		target: 'draft-2020-12',
		// JSON has no other numbers than finite ones; a rule between two values has no counterpart there.
		ignoreActions: ['finite', 'check'],
	});
}

/** The same without what only the top of a file says, or what would forbid the envelope's fields beside a kind's. */
function part(schema: v.GenericSchema<unknown, unknown>): JsonSchema {
	const { $schema: _top, additionalProperties: _closed, ...rest } = exported(schema);
	return rest;
}

/** An entry: the envelope, and beside it the fields of its kind. Kinds that are not listed are kept as they are. */
const entrySchema = {
	$schema: draft,
	title: 'One entry of a record; hash, signature and links to other entries are checked by `stillmast verify`',
	allOf: [
		part(envelopeSchema),
		...Object.keys(kindSchemas).map((kind) => ({
			anyOf: [{ properties: { kind: { not: { const: kind } } } }, { $ref: `#/$defs/${kind}` }],
		})),
	],
	$defs: Object.fromEntries(Object.entries(kindSchemas).map(([kind, schema]) => [kind, part(schema)])),
};

const checkSchema = {
	$schema: draft,
	title: 'A record file, stillmast/check@1; it is its own RFC 8785 form',
	type: 'object',
	properties: {
		format: { const: 'stillmast/check@1' },
		record: part(hashText),
		entries: { type: 'array', items: { $ref: 'entry.schema.json' } },
		blobs: { type: 'object', propertyNames: part(hashText), additionalProperties: { type: 'string' } },
		digest: part(hashText),
	},
	required: ['format', 'record', 'entries', 'blobs', 'digest'],
	additionalProperties: false,
};

const files: readonly (readonly [string, unknown])[] = [
	...Object.entries(documentSchemas).map(([name, schema]) => [name, exported(schema)] as const),
	['entry', entrySchema],
	['check', checkSchema],
];

describe('docs/formats/*.schema.json', () => {
	it.each(files)('%s is what the schema in use exports', async (name, schema) => {
		const text = `${JSON.stringify(schema, null, '\t')}\n`;
		await expect(text).toMatchFileSnapshot(`../../../docs/formats/${name}.schema.json`);
	});
});
