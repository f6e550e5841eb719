import { beforeAll, describe, expect, it } from 'vitest';
import { notCounted, type PlayedScenario, playShipped } from './played.js';

interface Expected {
	readonly unsent: number;
	readonly fromPaper: number;
	readonly signed: { readonly state: string; readonly roles: readonly string[]; readonly lost: readonly string[] };
	readonly found: { readonly apart: number; readonly state: string };
	readonly takenIn: {
		readonly state: string;
		readonly differ: { readonly channel: string; readonly values: readonly number[] };
	};
}

describe('scenario lost-tablet (invented)', () => {
	let shown: PlayedScenario<Expected>;
	beforeAll(async () => {
		shown = await playShipped('lost-tablet');
	});

	it('[REC-73] is signed by both without the lost tablet, which the signatures name', () => {
		const { expected, played, stateAt } = shown;
		const { signing, of } = stateAt('signed');
		const content = signing.contents.at(-1);
		expect(signing.state).toBe(expected.signed.state);
		expect([...(content?.roles ?? [])].sort()).toEqual(expected.signed.roles);
		expect(content?.lost.map(({ key }) => key)).toEqual(expected.signed.lost.map((id) => played.keys.get(id)));
		const paper = Object.values(of)
			.flat()
			.filter(({ source }) => source === 'paper');
		expect(paper).toHaveLength(expected.fromPaper);
		expect(paper.every(({ observed }) => observed !== null)).toBe(true);
	});

	it('[REC-30] what the tablet brings when it is found is set apart, since its pen was locked out before', () => {
		const { expected, played, stateAt } = shown;
		const found = stateAt('found');
		const apart = notCounted(found);
		expect(apart).toHaveLength(expected.found.apart);
		expect(apart.every(({ judgement }) => judgement.state === 'apart' && judgement.reason === 'revoked')).toBe(true);
		expect(new Set(apart.map(({ entry }) => entry.by))).toEqual(new Set([played.keys.get('cockpit')]));
		expect(found.signing.state).toBe(expected.found.state);
	});

	it('[REC-71] taken in, it counts, is added after signing, and the one value that differs is to be agreed', () => {
		const { expected, state } = shown;
		expect(notCounted(state)).toEqual([]);
		expect(state.signing.state).toBe(expected.takenIn.state);
		expect(state.signing.added).toHaveLength(expected.unsent);
		expect(state.signing.contents.at(-1)?.signatures.map(({ cover }) => cover)).toEqual(['holds', 'holds']);
		const differing = state.vibrations.filter(({ state }) => state === 'differ');
		expect(differing.map(({ channel }) => channel)).toEqual([expected.takenIn.differ.channel]);
		expect(differing[0]?.entries.map(({ amplitudeIps }) => amplitudeIps).sort()).toEqual(
			expected.takenIn.differ.values,
		);
	});
});
