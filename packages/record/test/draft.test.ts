import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import * as Y from 'yjs';
import { Draft } from '../src/carrier/index.js';
import { seededNumbers } from './world/people.js';

/** Pages of one room; messages wait until they are let through. */
class Room {
	readonly pages: { draft: Draft; inbox: Uint8Array[] }[] = [];

	open(): Draft {
		const inbox: Uint8Array[] = [];
		const onUpdate = (update: Uint8Array) => {
			for (const page of this.pages) if (page.inbox !== inbox) page.inbox.push(update);
		};
		const draft = new Draft({ onUpdate, onText: () => undefined });
		this.pages.push({ draft, inbox });
		return draft;
	}

	letThrough(): void {
		while (this.pages.some(({ inbox }) => inbox.length > 0)) {
			for (const { draft, inbox } of this.pages) {
				for (const update of inbox.splice(0)) expect(draft.hear(update)).toEqual({ ok: true, value: undefined });
			}
		}
	}
}

describe('Draft', () => {
	it('[REC-23] what two type at once is all there, on both pages', () => {
		const room = new Room();
		const [one, other] = [room.open(), room.open()];
		one.type('Vibration in the hover.');
		room.letThrough();
		one.type('Strong vibration in the hover.');
		other.type('Vibration in the hover, gone at speed.');
		room.letThrough();
		expect(one.text).toBe('Strong vibration in the hover, gone at speed.');
		expect(other.text).toBe(one.text);
	});

	it('[REC-23] who opens it later gets what is there', () => {
		const room = new Room();
		room.open().type('already typed');
		room.letThrough();
		const late = room.open();
		room.letThrough();
		expect(late.text).toBe('already typed');
	});

	it('[REC-23] type(text) makes the text that one, whatever stood there, and parts no pair', () => {
		const text = fc.string({ unit: fc.constantFrom('a', 'b', '😀', '😁', 'é'), maxLength: 12 });
		const property = fc.property(fc.array(text, { maxLength: 6 }), (texts) => {
			const room = new Room();
			const [one, other] = [room.open(), room.open()];
			for (const next of texts) {
				one.type(next);
				expect(one.text).toBe(next);
				room.letThrough();
				expect(other.text).toBe(next);
			}
		});
		fc.assert(property, { seed: 23, numRuns: 200 });
	});

	it('[REC-23] five pages typing at random end with one text', () => {
		const room = new Room();
		const next = seededNumbers(23);
		const drafts = Array.from({ length: 5 }, () => room.open());
		for (let turn = 0; turn < 200; turn++) {
			const draft = drafts[Math.floor(next() * 5)] as Draft;
			const at = Math.floor(next() * (draft.text.length + 1));
			const cut = Math.floor(next() * 3);
			draft.type(draft.text.slice(0, at) + 'xyz'.slice(cut) + draft.text.slice(at + cut));
			if (next() < 0.2) room.letThrough();
		}
		room.letThrough();
		expect(new Set(drafts.map(({ text }) => text)).size).toBe(1);
	});

	it('[REC-23] noise, too much and other structures change nothing', { timeout: 20_000 }, () => {
		const room = new Room();
		const draft = room.open();
		draft.type('kept');
		expect(draft.hear(new Uint8Array(40_000))).toMatchObject({ ok: false, problem: { code: 'too-big' } });
		const long = new Y.Doc();
		for (let i = 0; i < 3; i++) long.getText('text').insert(0, 'x'.repeat(10_000));
		expect(draft.hear(Y.encodeStateAsUpdate(long))).toMatchObject({ ok: false, problem: { code: 'too-big' } });
		const property = fc.property(fc.uint8Array({ minLength: 1, maxLength: 60 }), (bytes) => {
			draft.hear(bytes);
			expect(draft.text).toBe('kept');
		});
		fc.assert(property, { seed: 23, numRuns: 2000 });
	});
});
