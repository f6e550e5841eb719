import { render } from 'svelte/server';
import { describe, expect, it } from 'vitest';
import BleedStaircase from '../src/lib/parts/bleed/BleedStaircase.svelte';
import Frame from '../src/lib/parts/frame/Frame.svelte';
import Icon from '../src/lib/parts/icon/Icon.svelte';
import { type IconName, iconStrokes } from '../src/lib/parts/icon/strokes.js';
import LiveLimit from '../src/lib/parts/live-limit/LiveLimit.svelte';
import Pad from '../src/lib/parts/pad/Pad.svelte';
import PowerChart from '../src/lib/parts/power/PowerChart.svelte';
import RampBed from '../src/lib/parts/ramp/RampBed.svelte';
import Ribbon from '../src/lib/parts/ribbon/Ribbon.svelte';
import RotorPicture from '../src/lib/parts/rotor/RotorPicture.svelte';
import RotorRow from '../src/lib/parts/rotor/RotorRow.svelte';
import SteadyThread from '../src/lib/parts/steady/SteadyThread.svelte';
import TimeBars from '../src/lib/parts/time-bars/TimeBars.svelte';
import Track from '../src/lib/parts/track/Track.svelte';
import Trend from '../src/lib/parts/trend/Trend.svelte';
import Wall from '../src/lib/parts/wall/Wall.svelte';
import Written from '../src/lib/parts/written/Written.svelte';
import { cardSteps } from '../src/routes/parts/card-specimens.js';
import {
	bleedRise,
	idealRamp,
	marginTrend,
	powerChart,
	rampAttempts,
	threadSamples,
	timeBarRows,
	trackRegimes,
} from '../src/routes/parts/plot-specimens.js';
import { hoverSheet, sheetRow, unsureSheet } from '../src/routes/parts/rotor-specimens.js';
import { stepLimits, wallRows } from '../src/routes/parts/wall-specimens.js';

/** Markup without Svelte's own comments. */
function markup(rendered: { readonly body: string }): string {
	return rendered.body.replace(/<!--.*?-->/g, '');
}

/** Text as read, in one line. */
function read(html: string): string {
	return html
		.replace(/<[^>]*>/g, ' ')
		.replace(/\s+/g, ' ')
		.trim();
}

const drawn: Readonly<Record<string, string>> = {
	wall: markup(render(Wall, { props: { label: 'readings', rows: wallRows } })),
	limits: markup(render(Wall, { props: { label: 'limits', rows: stepLimits, numbers: 'limit', isBrief: true } })),
	ribbon: markup(render(Ribbon, { props: { steps: cardSteps } })),
	rotor: markup(render(RotorPicture, { props: { sheet: hoverSheet, onstep: () => undefined } })),
	unsure: markup(render(RotorPicture, { props: { sheet: unsureSheet } })),
	row: markup(render(RotorRow, { props: { sheets: sheetRow, chosenId: 'hover', onchoose: () => undefined } })),
	pad: markup(
		render(Pad, {
			props: {
				label: 'lateral',
				rule: { low: 0, high: 5, digits: 2, unit: 'ips', mark: ',' },
				onkeep: () => undefined,
			},
		}),
	),
	ramp: markup(render(RampBed, { props: { label: 'torque', ideal: idealRamp, attempts: rampAttempts } })),
	bleed: markup(render(BleedStaircase, { props: { label: 'cabin heat', bleed: bleedRise } })),
	track: markup(
		render(Track, { props: { blades: ['A', 'B', 'C'], regimes: trackRegimes, spreadLimitMm: 20, isTrueSize: false } }),
	),
	power: markup(render(PowerChart, { props: { label: 'margin +20 \u00b0C', chart: powerChart } })),
	trend: markup(render(Trend, { props: { label: 'margin', trend: marginTrend } })),
	timeBars: markup(
		render(TimeBars, { props: { rows: timeBarRows, finding: { verdict: 'possible', allowedWords: 'allowed 3 s' } } }),
	),
	thread: markup(
		render(SteadyThread, {
			props: { label: 'torque', samples: threadSamples, band: { low: 60, high: 65 }, wallWords: ['65 %', '60 %'] },
		}),
	),
};

describe('every part, drawn', () => {
	it.each(Object.keys(drawn))('%s has no NaN, Infinity or undefined in its markup', (part) => {
		expect(drawn[part]!.length).toBeGreaterThan(100);
		expect(drawn[part]).not.toMatch(/NaN|Infinity|undefined|\[object/);
	});

	it.each(Object.keys(drawn))('%s has no round corner, shadow or gradient of its own', (part) => {
		expect(drawn[part]).not.toMatch(/Gradient|<filter|rx="[^"]*" ry="[^"]*" width/);
	});
});

describe('Wall', () => {
	it('says label, limit, number with unit and verdict of each row in that order', () => {
		const text = read(drawn.wall!);
		expect(text).toContain('ground lateral at most 0.20 ips 0 .08 0.08 ips inside');
		expect(text).toContain('hover lateral at most 0.20 ips 0 .26 0.26 ips outside more than 99 in 100');
		expect(text).toContain('0.10 ips P 0 .13 0.13 ips E two readings');
		expect(text).toContain('cannot tell: torque fell by 4 %, fly it again');
	});

	it('hides its drawing from screen readers, who get the words', () => {
		const open = drawn.wall!.match(/<svg[^>]*>/g) ?? [];
		expect(open.length).toBeGreaterThan(10);
		expect(open.every((tag) => tag.includes('aria-hidden="true"'))).toBe(true);
	});

	it('marks the one line whose condition holds now', () => {
		expect(read(drawn.limits!)).toContain('torque, above 40 kt now at most 92.7 % 92 .7 92.7 %');
		expect(drawn.limits!.match(/>now</g)).toHaveLength(1);
	});
});

describe('RotorPicture', () => {
	it('offers each spoke as a button that says what the blade carries', () => {
		expect(drawn.rotor).toContain(
			'Try one more plate on blade A. Blade A, red sleeve: 3 plates, tab +0.5\u00b0, link 0 flats',
		);
		expect(drawn.rotor!.match(/<button[^>]*aria-label="Try/g)).toHaveLength(3);
	});

	it('has nothing to try without a callback, and says when the phase is not sure', () => {
		expect(drawn.unsure).not.toContain('aria-label="Try');
		expect(drawn.unsure).toContain('0.02 ips, phase not sure');
		expect(read(drawn.unsure!)).toContain('Phase not sure: the reading is inside its own scatter.');
	});
});

describe('Ribbon', () => {
	it('says every step with its state, and marks the one that is now', () => {
		const text = read(drawn.ribbon!);
		expect(text).toContain('flat pitch vibration, measure again');
		expect(text).toContain('110 kt level, left for later');
		expect(drawn.ribbon!.match(/aria-current="step"/g)).toHaveLength(1);
	});
});

describe('Pad', () => {
	it("has the person's decimal mark on its key, and the unit beside the number", () => {
		expect(read(drawn.pad!)).toContain('ips');
		expect(drawn.pad).toMatch(/<button[^>]*aria-label=","[^>]*>/);
	});
});

describe('Written', () => {
	it('says who wrote it and that it is struck out, beside the initial and the line', () => {
		const text = read(
			markup(render(Written, { props: { text: '\u22120.41 ips', pen: 'pilot', time: '14:20Z', isStruck: true } })),
		);
		expect(text).toBe('\u22120.41 ips P 14:20Z written by pilot, 14:20Z struck out');
	});
});

describe('LiveLimit', () => {
	it('is the one thing that calls out', () => {
		const html = markup(render(LiveLimit, { props: { what: 'torque', value: '105.2 %', limit: 'at most 104.0 %' } }));
		expect(html).toContain('role="alert"');
		expect(Object.values(drawn).some((part) => part.includes('role="alert"'))).toBe(false);
	});
});

describe('Frame', () => {
	it.each(['sample', 'rehearsal', 'blank'] as const)('%s is striped on four sides and says why', (kind) => {
		const html = markup(render(Frame, { props: { kind, children: (() => undefined) as never } }));
		expect(html.match(/class="strip/g)).toHaveLength(4);
		expect(read(html).toLowerCase()).toContain(kind === 'blank' ? 'blank card' : kind);
	});
});

describe('Icon', () => {
	it.each(Object.keys(iconStrokes) as IconName[])('%s is drawn with straight strokes inside its square', (name) => {
		const numbers = [...iconStrokes[name].matchAll(/-?\d+(\.\d+)?/g)].map((match) => Number(match[0]));
		expect(iconStrokes[name]).toMatch(/^[MLHVZ\d\s.-]+$/);
		expect(numbers.every((number) => number >= 0 && number <= 24)).toBe(true);
		expect(markup(render(Icon, { props: { name } }))).toContain('aria-hidden="true"');
	});
});
