import { fail, ok, type Problem, type Result } from '@stillmast/core/result';
import { toSign } from '@stillmast/record';
import type { LiveCheck } from '$lib/live/live-check.svelte.js';
import { isRightCode } from '$lib/live/pen-code.js';
import type { LostDevices } from './lost.view.js';
import { type SignerRole, statementOf } from './signing.view.js';

/**
 * Signs everything that is here, or the content already signed by the other when nothing came after it.
 * Problems: `wrong-code`, `waiting-for-entries` and whatever refuses the entry.
 */
export async function sign(
	check: LiveCheck,
	role: SignerRole,
	signer: { readonly name: string; readonly licence: string; readonly code: string },
	lost: LostDevices = [],
): Promise<Result<void, Problem>> {
	if (!(await isRightCode(check.pen.code, signer.code))) return fail({ code: 'wrong-code' });
	const { session, card, typeData } = check;
	const covered = toSign(session.entries, session.state, lost);
	if (!covered.ok) return covered;
	const written = await session.write('signature', {
		...covered.value,
		name: signer.name,
		licence: signer.licence,
		role,
		statement: statementOf(role, session.state, card, typeData, lost),
	});
	return written.ok ? ok(undefined) : written;
}
