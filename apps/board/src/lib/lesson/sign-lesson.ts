import { fail, ok, type Problem, type Result } from '@stillmast/core/result';
import { toSign } from '@stillmast/record';
import type { LiveCheck } from '$lib/live/live-check.svelte.js';
import { isRightCode } from '$lib/live/pen-code.js';
import { lesson } from '$lib/words/lesson.js';

/** What is signed: the instructor's words, or the trainee's, who has a pilot's pen. */
export function lessonStatement(role: LiveCheck['role']): string {
	return role === 'pilot' ? lesson.traineeText : lesson.signText;
}

/** Signs a rehearsal: everything that is here. Problems: `wrong-code`, `waiting-for-entries`, or what refuses the entry. */
export async function signLesson(check: LiveCheck, code: string): Promise<Result<void, Problem>> {
	if (!(await isRightCode(check.pen.code, code))) return fail({ code: 'wrong-code' });
	const covered = toSign(check.session.entries, check.session.state);
	if (!covered.ok) return covered;
	const { name, licence } = check.pen;
	const role = (['pilot', 'engineer'] as const).find((one) => one === check.role) ?? 'instructor';
	const written = await check.session.write('signature', {
		...covered.value,
		name,
		licence,
		role,
		statement: lessonStatement(check.role),
	});
	return written.ok ? ok(undefined) : written;
}
