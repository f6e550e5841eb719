import { toJsonSchema } from '@valibot/to-json-schema';
import { describe, expect, it } from 'vitest';
import { documentSchemas } from '../src/documents/index.js';

/** The committed files are written by `npx vitest run test/json-schema.test.ts -u` in this folder. */
describe('docs/formats/*.schema.json', () => {
	it.each(Object.entries(documentSchemas))('%s is what the schema in use exports', async (name, schema) => {
		const exported = toJsonSchema(schema, {
			target: 'draft-2020-12',
			// JSON has no other numbers than finite ones; a rule between two values has no counterpart there.
			ignoreActions: ['finite', 'check'],
		});
		const text = `${JSON.stringify(exported, null, '\t')}\n`;
		await expect(text).toMatchFileSnapshot(`../../../docs/formats/${name}.schema.json`);
	});
});
