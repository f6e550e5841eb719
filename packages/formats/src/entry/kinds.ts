import type * as v from 'valibot';
import type { Envelope } from './envelope.js';
import * as checkKinds from './kinds-check.js';
import * as flightKinds from './kinds-flight.js';
import * as limitKinds from './kinds-limit.js';
import * as rotorKinds from './kinds-rotor.js';
import * as talkKinds from './kinds-talk.js';
import * as trustKinds from './kinds-trust.js';

/** Fields of every kind, strict: a field that is not here makes the entry's fields wrong. */
export const kindSchemas = {
	opened: trustKinds.opened,
	enrolled: trustKinds.enrolled,
	revoked: trustKinds.revoked,
	flight: flightKinds.flight,
	header: checkKinds.header,
	run: rotorKinds.run,
	step: flightKinds.step,
	reading: flightKinds.reading,
	vibration: rotorKinds.vibration,
	adjustment: rotorKinds.adjustment,
	inspection: rotorKinds.inspection,
	hold: flightKinds.hold,
	mark: flightKinds.mark,
	witness: limitKinds.witness,
	memory: limitKinds.memory,
	decision: limitKinds.decision,
	proposal: rotorKinds.proposal,
	use: rotorKinds.use,
	reply: talkKinds.reply,
	remark: talkKinds.remark,
	narrative: talkKinds.narrative,
	trace: flightKinds.trace,
	attempt: flightKinds.attempt,
	strike: checkKinds.strike,
	agree: checkKinds.agree,
	review: checkKinds.review,
	handover: checkKinds.handover,
	stopped: checkKinds.stopped,
	signature: trustKinds.signature,
} as const;

export type Kind = keyof typeof kindSchemas;
export const kinds = Object.keys(kindSchemas) as readonly Kind[];

type DeepReadonly<T> = T extends readonly (infer U)[]
	? readonly DeepReadonly<U>[]
	: T extends object
		? { readonly [K in keyof T]: DeepReadonly<T[K]> }
		: T;

/** Fields of one kind, without the envelope. */
export type FieldsOf<K extends Kind> = DeepReadonly<v.InferOutput<(typeof kindSchemas)[K]>>;
/** An entry of a known kind whose fields are sound. */
export type EntryOf<K extends Kind> = { [P in K]: Omit<Envelope, 'kind'> & { readonly kind: P } & FieldsOf<P> }[K];
export type KnownEntry = EntryOf<Kind>;

export function isKind(text: string): text is Kind {
	return Object.hasOwn(kindSchemas, text);
}
