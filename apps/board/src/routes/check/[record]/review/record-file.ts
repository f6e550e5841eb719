import { type RecordState, verifyRecordFile } from '@stillmast/record';
import { exportSession, type Session } from '@stillmast/record/client';

export type FileCheck = { readonly state: 'whole' } | { readonly state: 'broken'; readonly reason: string };

/** Writes the record as a file and verifies it as anybody else would: by its bytes alone. */
export async function checkFile(session: Session): Promise<FileCheck> {
	const { text } = await exportSession(session);
	const report = await verifyRecordFile(text);
	if (report.whole) return { state: 'whole' };
	return { state: 'broken', reason: report.faults[0]?.code ?? 'unknown' };
}

/** Hands the record file to the browser's downloads, named after the aircraft and the day. */
export async function saveFile(session: Session, state: RecordState): Promise<void> {
	const { text } = await exportSession(session);
	const url = URL.createObjectURL(new Blob([text], { type: 'application/json' }));
	const link = document.createElement('a');
	link.href = url;
	const { purpose } = state;
	// what was not flown says so in its name as well
	const apart = purpose === 'rehearsal' || purpose === 'demo' ? `${purpose}-` : '';
	link.download = `${apart}${state.opened?.aircraft.registration ?? 'check'}-${state.opened?.at.slice(0, 10) ?? ''}.check.json`;
	link.click();
	URL.revokeObjectURL(url);
}
