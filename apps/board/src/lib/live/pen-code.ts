/** A pen's code as the device keeps it: never the figures, only what they stretch to. */
export interface KeptCode {
	readonly salt: Uint8Array<ArrayBuffer>;
	readonly rounds: number;
	readonly stretched: Uint8Array;
}

/**
 * Figures are few, so each guess is made slow. The code guards against a colleague's hand on an unlocked tablet, not
 * against somebody with the device and time; the key itself cannot leave the browser.
 */
const rounds = 200_000;

/** 4 to 8 figures. */
export function isCode(text: string): boolean {
	return /^[0-9]{4,8}$/.test(text);
}

export async function keepCode(code: string, random: (length: number) => Uint8Array): Promise<KeptCode> {
	const salt = new Uint8Array(random(16));
	return { salt, rounds, stretched: await stretch(code, salt, rounds) };
}

export async function isRightCode(kept: KeptCode, code: string): Promise<boolean> {
	const tried = await stretch(code, kept.salt, kept.rounds);
	return tried.length === kept.stretched.length && tried.every((byte, i) => byte === kept.stretched[i]);
}

async function stretch(code: string, salt: Uint8Array<ArrayBuffer>, iterations: number): Promise<Uint8Array> {
	const key = await crypto.subtle.importKey('raw', new TextEncoder().encode(code), 'PBKDF2', false, ['deriveBits']);
	const bits = await crypto.subtle.deriveBits({ name: 'PBKDF2', hash: 'SHA-256', salt, iterations }, key, 256);
	return new Uint8Array(bits);
}
