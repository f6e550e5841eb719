import { fail, ok, type Problem, type Result } from '@stillmast/core/result';
import { readJson } from '../json/index.js';
import { readAs } from '../problem/index.js';
import { type FeedHead, type FeedSample, feedEndSchema, feedHeadSchema, feedSampleSchema } from './schema.js';

/** One line of a feed (NDJSON), told apart by its fields. */
export type FeedLine =
	| { readonly is: 'head'; readonly head: FeedHead }
	| { readonly is: 'sample'; readonly sample: FeedSample }
	| { readonly is: 'end' };

/** A line this long is no moment of gauges. */
const longestLine = 32 * 1024;

export interface FeedLineProblem extends Problem {
	readonly path: string;
}

/**
 * Reads one line of a feed (`stillmast/feed@1`).
 * @returns problems of JSON or of the schema, with their path; `line-too-long` over 32 KiB
 */
export function readFeedLine(text: string): Result<FeedLine, FeedLineProblem> {
	if (text.length > longestLine)
		return fail({ code: 'line-too-long', found: text.length, needed: longestLine, path: '$' });
	const json = readJson(text);
	if (!json.ok) return json;
	const has = (key: string) => typeof json.value === 'object' && json.value !== null && Object.hasOwn(json.value, key);
	if (has('format')) {
		const head = readAs(feedHeadSchema, json.value);
		return head.ok ? ok({ is: 'head', head: head.value }) : head;
	}
	if (has('end')) {
		const end = readAs(feedEndSchema, json.value);
		return end.ok ? ok({ is: 'end' }) : end;
	}
	const sample = readAs(feedSampleSchema, json.value);
	return sample.ok ? ok({ is: 'sample', sample: sample.value }) : sample;
}
