import { describe, expect, it } from 'vitest';
import { type CardFacts, type CardStepModel, checkLevel, crewFacts, evaluateCard } from '../src/card/index.js';

const step = (id: string, more: Partial<CardStepModel> = {}): CardStepModel => ({
	id,
	procedure: 'normal',
	needs: [],
	gives: [],
	entry: [],
	...more,
});

const card = [
	step('walk-round'),
	step('ground', { regimeKt: null, gives: ['vibration/main/ground/lat'] }),
	step('hover', { regimeKt: 0, gives: ['vibration/main/hover/lat'] }),
	step('level-80', { regimeKt: 80, needs: ['hover'], entry: [{ quantity: 'oatC', atLeast: -20, atMost: 40 }] }),
	step('after'),
];

const nothing: CardFacts = {
	written: new Map(),
	stale: new Set(),
	stops: [],
	inspectionsOpen: 0,
	reasons: new Map(),
	notReviewed: [],
	quantities: { oatC: 10 },
};
const done = (...ids: string[]) => new Map(ids.map((id) => [id, 'done' as const]));
const blocks = (facts: CardFacts, id: string) =>
	evaluateCard(card, facts)
		.steps.find((one) => one.id === id)
		?.blocks.map(({ code }) => code);

describe('evaluateCard(steps, facts)', () => {
	it('[CRD-1] goes through the card in its order', () => {
		expect(evaluateCard(card, nothing).next).toBe('walk-round');
		expect(evaluateCard(card, { ...nothing, written: done('walk-round', 'ground') }).next).toBe('hover');
		expect(evaluateCard(card, { ...nothing, written: done(...card.map(({ id }) => id)) }).next).toBeNull();
	});

	it('[CRD-2] asks for a step again once a change has made one of its results stale', () => {
		const facts = {
			...nothing,
			written: done(...card.map(({ id }) => id)),
			stale: new Set(['vibration/main/hover/lat']),
		};
		const standing = evaluateCard(card, facts);
		expect(standing.next).toBe('hover');
		expect(standing.steps.map(({ state }) => state)).toEqual(['done', 'done', 'again', 'done', 'done']);
	});

	it('[CRD-2] lets a step that was done in the open flight stand: the change was made before it', () => {
		const facts = { ...nothing, written: done('walk-round'), stale: new Set(['vibration/main/ground/lat']) };
		const inFlight = { ...facts, written: done('walk-round', 'ground'), isFlying: true };
		expect(evaluateCard(card, inFlight).next).toBe('hover');
		expect(evaluateCard(card, { ...inFlight, isFlying: false }).next).toBe('ground');
	});

	it('[CRD-2] [CRD-13] a step that a short card leaves out was done before the change, and is still asked for again', () => {
		const stale = new Set(['vibration/main/ground/lat', 'vibration/main/hover/lat']);
		const facts = { ...nothing, written: done('ground', 'hover'), stale, isFlying: true, flown: new Set(['hover']) };
		const states = new Map(evaluateCard(card, facts).steps.map(({ id, state }) => [id, state]));
		expect([states.get('ground'), states.get('hover')]).toEqual(['again', 'done']);
	});

	it('[CRD-13] goes on only to steps of the short card that the flight was begun with', () => {
		const short = { ...nothing, isFlying: true, flown: new Set(['hover', 'after']) };
		expect(evaluateCard(card, short).next).toBe('hover');
		expect(evaluateCard(card, { ...short, written: done('hover') }).next).toBe('after');
		expect(evaluateCard(card, { ...short, written: done('hover', 'after') }).next).toBeNull();
	});

	it('[CRD-3] makes a short card of what was put off and what is to be measured again', () => {
		const written = new Map<string, 'done' | 'later' | 'left-out'>([...done('walk-round', 'ground', 'hover', 'after')]);
		written.set('level-80', 'later');
		const facts = { ...nothing, written, stale: new Set(['vibration/main/ground/lat']) };
		expect(evaluateCard(card, facts).shortCard).toEqual(['ground', 'level-80']);
	});

	it('[CRD-4] holds back every faster regime once a reading is at its stop, and none that is as slow', () => {
		const stop = { result: 'vibration/main/ground/lat', regimeKt: null, amplitudeIps: 1, stopIps: 1 };
		const facts = { ...nothing, written: done('hover'), stops: [stop] };
		expect(blocks(facts, 'ground')).toEqual([]);
		expect(blocks(facts, 'hover')).toEqual(['stop-reached']);
		expect(blocks(facts, 'level-80')).toEqual(['stop-reached']);
		expect(blocks(facts, 'after')).toEqual([]);
	});

	it('[CRD-4] lets go once a change has made that reading stale: the slower regime is measured first', () => {
		const stop = { result: 'vibration/main/ground/lat', regimeKt: null, amplitudeIps: 1.2, stopIps: 1 };
		expect(blocks({ ...nothing, stops: [stop], stale: new Set([stop.result]) }, 'hover')).toEqual([]);
	});

	it('[CRD-5] names outstanding inspections before anything is flown, not on the ground', () => {
		const facts = { ...nothing, written: done('hover'), inspectionsOpen: 2 };
		expect(blocks(facts, 'ground')).toEqual([]);
		expect(blocks(facts, 'hover')).toEqual(['inspection-outstanding']);
	});

	it('[CRD-5] names them before the lift-off too, which measures no regime', () => {
		const steps = [...card, step('lift-off', { isAirborne: true })];
		const standing = evaluateCard(steps, { ...nothing, inspectionsOpen: 1 }).steps.at(-1);
		expect(standing?.blocks).toEqual([{ code: 'inspection-outstanding', found: 1 }]);
	});

	it('[CRD-10] keeps the reason for which a step was put off or left out, and none for one that was done', () => {
		const written = new Map<string, 'done' | 'later' | 'left-out'>([
			['ground', 'later'],
			['hover', 'left-out'],
			['after', 'done'],
		]);
		const reasons = new Map(['ground', 'hover', 'after'].map((id) => [id, `wind, ${id}`]));
		const { steps } = evaluateCard(card, { ...nothing, written, reasons });
		expect(steps.map(({ reason }) => reason)).toEqual([null, 'wind, ground', 'wind, hover', null, null]);
	});

	it('[CRD-11] holds open items that nobody went through against every step that flies', () => {
		const facts = { ...nothing, written: done('hover'), notReviewed: ['limit/1/torquePct'] };
		expect(blocks(facts, 'ground')).toEqual([]);
		expect(blocks(facts, 'hover')).toEqual(['not-reviewed']);
		expect(blocks(facts, 'level-80')).toEqual(['not-reviewed']);
	});

	it('[CRD-7] tells a condition outside from one that nobody has told', () => {
		const ready = { ...nothing, written: done('hover') };
		expect(blocks(ready, 'level-80')).toEqual([]);
		expect(blocks({ ...ready, quantities: { oatC: 41 } }, 'level-80')).toEqual(['entry-outside']);
		expect(blocks({ ...ready, quantities: {} }, 'level-80')).toEqual(['entry-unknown']);
	});

	it('[CRD-8] names the step that must be done first', () => {
		expect(blocks(nothing, 'level-80')).toEqual(['needs-step']);
	});
});

describe('checkLevel(steps)', () => {
	it('[CRD-6] is A as soon as one step asks for an abnormal or emergency procedure or proves a backup (published: SPO.SPEC.MCF.100)', () => {
		expect(checkLevel(card)).toEqual({ level: 'B', because: [], source: 'S-40' });
		for (const procedure of ['abnormal', 'emergency', 'backup'] as const) {
			const steps = [...card, step('special', { procedure })];
			expect(checkLevel(steps)).toEqual({ level: 'A', because: ['special'], source: 'S-40' });
		}
	});
});

describe('crewFacts(level)', () => {
	it('[CRD-9] are facts with their place (published: SPO.SPEC.MCF.105 to .140, 14 CFR 91.407)', () => {
		const ids = (level: 'A' | 'B') => crewFacts(level).map(({ id }) => id);
		expect(ids('A')).toEqual([
			'programme',
			'manual',
			'pilot',
			'task-specialist',
			'aboard',
			'system-under-test',
			'logged',
		]);
		expect(ids('B')).toEqual(['procedure', 'task-specialist', 'system-under-test', 'logged']);
		const pilot = crewFacts('A').find(({ id }) => id === 'pilot');
		expect(pilot?.place).toBe('SPO.SPEC.MCF.115');
		for (const figure of ['1000 h', '400 h', '50 h', '36 months']) expect(pilot?.words).toContain(figure);
		expect(crewFacts('A').some(({ words }) => /qualified/i.test(words))).toBe(false);
	});
});
