import { describe, expect, it } from 'vitest';
import { Awake, type AwakePorts } from '../src/lib/device/awake.svelte.js';

/** A browser that lends locks, refuses, or takes them back when its page is hidden. */
function browser() {
	const locks: { isReleased: boolean; letGo: () => void }[] = [];
	let listener = () => {};
	const state = { isVisible: true, isRefused: false, isFollowed: false };
	const ports: AwakePorts = {
		request: async () => {
			if (state.isRefused) throw new Error('NotAllowedError');
			const heard: (() => void)[] = [];
			const lock = {
				isReleased: false,
				letGo: () => {
					lock.isReleased = true;
					for (const one of heard) one();
				},
			};
			locks.push(lock);
			return {
				get released() {
					return lock.isReleased;
				},
				addEventListener: (_: string, one: () => void) => heard.push(one),
				release: async () => lock.letGo(),
			} as unknown as WakeLockSentinel;
		},
		isVisible: () => state.isVisible,
		onVisible: (one) => {
			listener = one;
			state.isFollowed = true;
			return () => {
				state.isFollowed = false;
			};
		},
	};
	return { ports, locks, state, show: () => listener() };
}

const settle = () => new Promise((resolve) => setTimeout(resolve));

describe('Awake', () => {
	it('[BRD-2] holds the screen, asks again when the page is shown again, and lets go at the end', async () => {
		const { ports, locks, state, show } = browser();
		const awake = new Awake(ports);
		await awake.hold();
		expect(awake.state).toBe('held');
		state.isVisible = false;
		locks[0]?.letGo();
		show();
		await settle();
		expect(locks).toHaveLength(1);
		state.isVisible = true;
		show();
		await settle();
		expect(locks).toHaveLength(2);
		expect(awake.state).toBe('held');
		await awake.release();
		expect(locks.every(({ isReleased }) => isReleased)).toBe(true);
		expect([awake.state, state.isFollowed]).toEqual(['off', false]);
	});

	it('[BRD-2] says when the browser refuses, cannot, or takes the lock away from a page that is seen', async () => {
		const refusing = browser();
		refusing.state.isRefused = true;
		const refused = new Awake(refusing.ports);
		await refused.hold();
		expect(refused.state).toBe('refused');

		const without = new Awake({ ...browser().ports, request: null });
		await without.hold();
		expect(without.state).toBe('refused');

		const taking = browser();
		const taken = new Awake(taking.ports);
		await taken.hold();
		taking.locks[0]?.letGo();
		expect(taken.state).toBe('refused');
	});
});
