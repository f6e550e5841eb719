import { describe, expect, it } from 'vitest';
import {
	type Conditions,
	calmDay,
	type HelicopterState,
	leverAtPct,
	ouzel3,
	ratedTorqueNm,
	rotorTorqueNm,
	settledAt,
	stepHelicopter,
	stepS,
} from '../src/index.js';

function ramp(durationS: number, dtS = stepS, conditions: Conditions = calmDay): readonly HelicopterState[] {
	const move = { fromPct: 20, toPct: 80, startS: 1, durationS, overshootShare: 0.05 };
	const all = [settledAt(ouzel3, 20, conditions)];
	for (let n = 0; n < 12 / dtS; n += 1) {
		const last = all.at(-1) as HelicopterState;
		all.push(stepHelicopter(ouzel3, last, leverAtPct(move, last.timeS), conditions, dtS));
	}
	return all;
}
const peak = (all: readonly HelicopterState[], of: (state: HelicopterState) => number) => Math.max(...all.map(of));

describe('settledAt(type, collectivePct, conditions)', () => {
	it('[RHS-1] holds 100 % rotor speed and gives the torque that the rotor takes (law: no acceleration without a difference)', () => {
		for (const collective of [0, 30, 60, 90]) {
			const state = settledAt(ouzel3, collective);
			const air = { delta: 1, theta: 1, sigma: 1 };
			const taken = rotorTorqueNm(ouzel3.rotor, ratedTorqueNm(ouzel3), collective, state.nrPct, 0, air);
			expect(state.nrPct).toBeCloseTo(100, 2);
			expect(state.torquePct).toBeCloseTo((100 * taken) / ratedTorqueNm(ouzel3), 1);
		}
	});

	it('[RHS-2] runs the gas generator faster and hotter for the same collective when hot and high (law: less dense air)', () => {
		const low = settledAt(ouzel3, 70);
		const high = settledAt(ouzel3, 70, { ...calmDay, pressureAltitudeFt: 6000, oatC: 30 });
		expect(high.engine.ngPct).toBeGreaterThan(low.engine.ngPct + 1);
		expect(high.engine.totC).toBeGreaterThan(low.engine.totC + 10);
	});

	it('[RHS-3] shows a consumer by its temperature at constant collective, and wear by more of both', () => {
		const clean = settledAt(ouzel3, 60).engine.totC;
		const bleed = settledAt(ouzel3, 60, { ...calmDay, bleed: 1 }).engine.totC;
		const worn = settledAt(ouzel3, 60, { ...calmDay, wear: 1 }).engine.totC;
		expect(bleed - clean).toBeGreaterThan(15);
		expect(bleed - clean).toBeLessThan(50);
		expect(worn - clean).toBeGreaterThan(20);
	});
});

describe('stepHelicopter(type, state, collectivePct, conditions)', () => {
	it('[RHS-4] takes the gas generator from flight idle to 95 % power inside 5 s (from memory: 14 CFR 33.73)', () => {
		let state = settledAt(ouzel3, 0);
		while (state.timeS < 10 && (state.torquePct * state.nrPct) / 100 < 95)
			state = stepHelicopter(ouzel3, state, 100, calmDay);
		expect(state.timeS).toBeLessThan(5);
		expect(state.timeS).toBeGreaterThan(0.8);
	});

	it('[RHS-5] loses 10 % of rotor speed in the time that inertia and torque say when the power is gone (law: J dω/dt = −Q)', () => {
		const powered = settledAt(ouzel3, 70);
		let state: HelicopterState = { ...powered, engine: { ...powered.engine, flame: 'out' } };
		while (state.nrPct > 90) state = stepHelicopter(ouzel3, state, 70, calmDay);
		// Q falls with ω², so 1/ω grows evenly: t = (J/k)(1/ω₁ − 1/ω₀), with k = Q₀/ω₀²
		const { inertiaKgM2, omega100 } = ouzel3.rotor;
		const torque = (powered.torquePct / 100) * ratedTorqueNm(ouzel3);
		const expectedS = ((inertiaKgM2 * omega100 ** 2) / torque) * (1 / (0.9 * omega100) - 1 / omega100);
		expect(state.timeS).toBeCloseTo(expectedS, 1);
	});

	it('[RHS-6] torque goes on past its end after the lever stops, more the faster the lever, and the rotor droops less the slower', () => {
		const torque = [1, 2, 3].map((durationS) => peak(ramp(durationS), (state) => state.torquePct));
		const droop = [1, 2, 3].map((durationS) => -peak(ramp(durationS), (state) => -state.nrPct));
		expect(torque[0]).toBeGreaterThan((torque[1] ?? 0) + 2);
		expect(torque[1]).toBeGreaterThan((torque[2] ?? 0) + 2);
		expect(droop[0]).toBeLessThan(droop[1] ?? 0);
		expect(droop[1]).toBeLessThan(droop[2] ?? 0);
	});

	it('[RHS-7] half the step changes no peak by more than 0.5 %', () => {
		const coarse = ramp(2);
		const fine = ramp(2, stepS / 2);
		for (const of of [
			(state: HelicopterState) => state.torquePct,
			(state: HelicopterState) => state.engine.totC,
			(state: HelicopterState) => state.nrPct,
		]) {
			expect(Math.abs(peak(fine, of) / peak(coarse, of) - 1)).toBeLessThan(0.005);
		}
	});

	it('[RHS-8] gives the same numbers every time', () => {
		expect(ramp(2).at(-1)).toEqual(ramp(2).at(-1));
	});

	it('[RHS-9] keeps the energy: what the shaft gives is what the rotor takes and stores (law)', () => {
		const all = ramp(2);
		const { inertiaKgM2, omega100 } = ouzel3.rotor;
		const stored = (state: HelicopterState) => 0.5 * inertiaKgM2 * ((omega100 * state.nrPct) / 100) ** 2;
		const ratedNm = ratedTorqueNm(ouzel3);
		const air = { delta: 1, theta: 1, sigma: 1 };
		let given = 0;
		let taken = 0;
		for (let n = 1; n < all.length; n += 1) {
			const before = all[n - 1] as HelicopterState;
			const after = all[n] as HelicopterState;
			const omega = (omega100 * (before.nrPct + after.nrPct)) / 200;
			given += (after.torquePct / 100) * ratedNm * omega * stepS;
			taken += rotorTorqueNm(ouzel3.rotor, ratedNm, after.collectivePct, before.nrPct, 0, air) * omega * stepS;
		}
		const change = stored(all.at(-1) as HelicopterState) - stored(all[0] as HelicopterState);
		expect(Math.abs(given - taken - change) / given).toBeLessThan(1e-6);
	});

	it('[RHS-10] a sound engine neither surges nor flames out however the lever is slammed', () => {
		let state = settledAt(ouzel3, 10);
		for (let n = 0; n < 4000; n += 1) {
			state = stepHelicopter(ouzel3, state, Math.floor(n / 250) % 2 === 0 ? 100 : 0, calmDay);
			expect(state.engine.flame).toBe('lit');
		}
	});

	it('[RHS-11] a slow governor droops further on the same ramp', () => {
		const sound = -peak(ramp(2), (state) => -state.nrPct);
		const slow = -peak(ramp(2, stepS, { ...calmDay, governorSlowness: 8 }), (state) => -state.nrPct);
		expect(slow).toBeLessThan(sound - 0.3);
	});
});
