import { childPath } from '../problem/path.js';
import type { JsonFault, JsonFaultCode } from './fault.js';

const tab = 0x09;
const lineFeed = 0x0a;
const carriageReturn = 0x0d;
const space = 0x20;
const quote = 0x22;
const comma = 0x2c;
const colon = 0x3a;
const openBracket = 0x5b;
const backslash = 0x5c;
const closeBracket = 0x5d;
const openBrace = 0x7b;
const closeBrace = 0x7d;

/** What programs treat as their own; as a key it would change objects instead of filling them. */
const reservedKeys: ReadonlySet<string> = new Set(['__proto__', 'constructor', 'prototype']);

const numberForm = /-?(?:0|[1-9]\d*)(?:\.\d+)?(?:[eE][+-]?\d+)?/y;
const literalForm = /true|false|null/y;
const escapeForm = /\\(?:["\\/bfnrt]|u[0-9a-fA-F]{4})/y;

/** Internal: leaves the descent at the first fault; never seen outside `firstFault`. */
class Stop extends Error {
	readonly fault: JsonFault;
	constructor(fault: JsonFault) {
		super(fault.code);
		this.fault = fault;
	}
}

/** Walks a JSON text once without building anything, so that a hostile one costs no memory before it is refused. */
export class Scanner {
	private readonly text: string;
	private readonly depthLimit: number;
	private readonly path: (string | number)[] = [];
	private at = 0;

	constructor(text: string, depthLimit: number) {
		this.text = text;
		this.depthLimit = depthLimit;
	}

	firstFault(): JsonFault | undefined {
		try {
			this.skipBlank();
			this.value();
			this.skipBlank();
			if (this.at < this.text.length) this.stop('not-json', this.glimpse(), 'the end of the document');
			return undefined;
		} catch (error) {
			if (error instanceof Stop) return error.fault;
			throw error;
		}
	}

	private value(): void {
		switch (this.text.charCodeAt(this.at)) {
			case openBrace:
				this.object();
				break;
			case openBracket:
				this.array();
				break;
			case quote:
				this.string();
				break;
			default:
				this.scalar();
		}
	}

	private object(): void {
		this.enter();
		const seen = new Set<string>();
		if (this.closes(closeBrace)) return;
		for (;;) {
			const start = this.at;
			if (this.text.charCodeAt(start) !== quote) this.stop('not-json', this.glimpse(), 'a field name in quotes');
			const key = this.string();
			if (reservedKeys.has(key)) this.stop('reserved-key', key, 'another name', start);
			if (seen.has(key)) this.stop('duplicate-key', key, 'each field once', start);
			seen.add(key);
			this.skipBlank();
			this.expect(colon, '":"');
			this.path.push(key);
			this.value();
			this.path.pop();
			if (this.ends(closeBrace, '"," or "}"')) return;
		}
	}

	private array(): void {
		this.enter();
		if (this.closes(closeBracket)) return;
		for (let index = 0; ; index++) {
			this.path.push(index);
			this.value();
			this.path.pop();
			if (this.ends(closeBracket, '"," or "]"')) return;
		}
	}

	private enter(): void {
		// The path holds one part for each level already open.
		if (this.path.length >= this.depthLimit) this.stop('too-deep', this.path.length + 1, this.depthLimit);
		this.at++;
		this.skipBlank();
	}

	private closes(close: number): boolean {
		if (this.text.charCodeAt(this.at) !== close) return false;
		this.at++;
		return true;
	}

	/** After a member: true at the closing sign, false at a comma with another member to come. */
	private ends(close: number, needed: string): boolean {
		this.skipBlank();
		if (this.closes(close)) return true;
		this.expect(comma, needed);
		return false;
	}

	private expect(sign: number, needed: string): void {
		if (this.text.charCodeAt(this.at) !== sign) this.stop('not-json', this.glimpse(), needed);
		this.at++;
		this.skipBlank();
	}

	private string(): string {
		const start = this.at++;
		let escaped = false;
		for (;;) {
			let sign = this.text.charCodeAt(this.at);
			while (sign >= space && sign !== quote && sign !== backslash) sign = this.text.charCodeAt(++this.at);
			if (sign === quote) break;
			if (sign !== backslash || !this.matches(escapeForm)) {
				this.stop('not-json', this.glimpse(), 'text without bare control signs, closed by a quote');
			}
			escaped = true;
		}
		this.at++;
		const token = this.text.slice(start, this.at);
		return escaped ? (JSON.parse(token) as string) : token.slice(1, -1);
	}

	private scalar(): void {
		const start = this.at;
		if (this.matches(literalForm)) return;
		if (!this.matches(numberForm)) this.stop('not-json', this.glimpse(), 'a value');
		const token = this.text.slice(start, this.at);
		if (!Number.isFinite(Number(token))) this.stop('number-too-large', token.slice(0, 40), 'at most 1.79e308', start);
	}

	private matches(form: RegExp): boolean {
		form.lastIndex = this.at;
		if (!form.test(this.text)) return false;
		this.at = form.lastIndex;
		return true;
	}

	private skipBlank(): void {
		for (;;) {
			const sign = this.text.charCodeAt(this.at);
			if (sign !== space && sign !== lineFeed && sign !== carriageReturn && sign !== tab) return;
			this.at++;
		}
	}

	private glimpse(): string {
		return this.at >= this.text.length ? 'the end of the text' : JSON.stringify(this.text.slice(this.at, this.at + 12));
	}

	private stop(code: JsonFaultCode, found: unknown, needed: unknown, at: number = this.at): never {
		const before = this.text.slice(0, at);
		const lastBreak = before.lastIndexOf('\n');
		const line = before.split('\n').length;
		throw new Stop({ code, found, needed, path: childPath('$', ...this.path), line, column: at - lastBreak });
	}
}
