import { exportSession, type Session } from '@stillmast/record/client';

/** Digest of the record file as it would be written now; `null` when the file cannot be read back. */
export async function recordDigest(session: Session): Promise<string | null> {
	const { text } = await exportSession(session);
	const { digest } = JSON.parse(text) as { readonly digest?: unknown };
	return typeof digest === 'string' ? digest : null;
}

/** Figures enough to tell one sheet from another at a glance; the whole digest stands on the last page. */
export function shortDigest(digest: string): string {
	return digest.slice(0, 12);
}
