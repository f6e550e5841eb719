import * as v from 'valibot';
import { sources } from '../entry/envelope.js';
import { kinds } from '../entry/kinds.js';
import { instant, name, notNegative, optionalName, sentence } from '../entry/text.js';

/**
 * Scenario (`stillmast/scenario@1`): an invented check told as what several people wrote on several devices, one after
 * the other, with devices that lose each other. Played, it gives a record like any other.
 */

const id = v.pipe(v.string(), v.regex(/^[a-z][a-z0-9-]{0,47}$/, 'small letters, digits and -'));
/** Beside the scenario, or in a folder beside its own. */
const file = v.pipe(
	v.string(),
	v.regex(/^(?:\.\.\/[a-z0-9-]+\/)?[a-z0-9-]+\.json$/, 'a file here (card.json) or next door (../folder/card.json)'),
);
const registration = v.pipe(v.string(), v.regex(/^ZZ-[A-Z]{2,4}$/, 'an invented one, ZZ- and two to four letters'));
const writtenByPlay = ['opened', 'enrolled', 'revoked', 'signature'] as const;
type PlayedKind = Exclude<(typeof kinds)[number], (typeof writtenByPlay)[number]>;
const writableKinds = kinds.filter((kind): kind is PlayedKind => !(writtenByPlay as readonly string[]).includes(kind));

const device = v.strictObject({
	id,
	role: v.picklist(['pilot', 'engineer', 'support', 'instructor', 'reviewer']),
	/** By role only: nobody in a scenario is a real person. */
	name,
	/** It joins by an event of its own; else it is there from the start. */
	joinsLater: v.optional(v.boolean()),
});

const event = v.variant('do', [
	/** One entry. In `fields`, `{"hashOf": NAME}` is an earlier entry's hash and `{"keyOf": DEVICE}` a pen's key. */
	v.strictObject({
		do: v.literal('write'),
		by: id,
		kind: v.picklist(writableKinds),
		fields: v.record(v.string(), v.unknown()),
		/** Name by which later events speak of it. */
		as: v.optional(id),
		source: v.optional(v.picklist(sources)),
		/** When it was so, before it was written. */
		observedBeforeS: v.optional(notNegative),
	}),
	/** Signs what this device has, with the words shown. `lost`: devices that will not come back. */
	v.strictObject({
		do: v.literal('sign'),
		by: id,
		licence: optionalName,
		statement: v.pipe(sentence, v.minLength(1)),
		lost: v.optional(v.array(v.strictObject({ device: id, reason: sentence }))),
	}),
	/** Ends a device's key; what is here of it still counts. */
	v.strictObject({ do: v.literal('lock-out'), by: id, device: id, reason: sentence }),
	/** A device that joins later is let in, and gets what the one that lets it in has. */
	v.strictObject({ do: v.literal('join'), device: id, by: id }),
	/** Who hears whom from now on; a device that no group names is alone. */
	v.strictObject({ do: v.literal('connect'), groups: v.array(v.array(id)) }),
	/** The device is gone, with all it had not passed on. */
	v.strictObject({ do: v.literal('lose'), device: id }),
	/** It is back after all, and passes on what it has. */
	v.strictObject({ do: v.literal('find'), device: id, near: id }),
	/** Time goes by in which nobody writes. */
	v.strictObject({ do: v.literal('wait'), seconds: notNegative }),
	/** Keeps how the record stands now on a device, by name, for those who compare. */
	v.strictObject({ do: v.literal('look'), at: id, as: id }),
]);

export const scenarioSchema = v.strictObject({
	format: v.literal('stillmast/scenario@1'),
	/** As its folder is called. */
	id,
	invented: v.literal(true),
	title: v.pipe(v.string(), v.minLength(1), v.maxLength(60)),
	/** What somebody who opens it should look at or decide, in a sentence or two. */
	ask: v.pipe(v.string(), v.minLength(1), v.maxLength(240)),
	/** View that shows it first. */
	view: v.picklist(['cockpit', 'workshop', 'review', 'lesson']),
	purpose: v.picklist(['demo', 'rehearsal']),
	aircraft: v.strictObject({ registration, type: name, serial: optionalName }),
	card: file,
	typeData: file,
	startsAt: instant,
	/** Between one entry and the next. */
	entryEveryS: v.pipe(notNegative, v.minValue(1)),
	/** The first opens the record; the played record is what it has in the end. */
	devices: v.pipe(v.array(device), v.minLength(1), v.maxLength(12)),
	/** Whose pen somebody gets who opens it alone on one device. */
	visitor: id,
	events: v.array(event),
});

export type Scenario = v.InferOutput<typeof scenarioSchema>;
export type ScenarioDevice = Scenario['devices'][number];
export type ScenarioEvent = Scenario['events'][number];
