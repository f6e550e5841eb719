export { crc32 } from './crc32.js';
export { type BlobRow, blobRow, type EntryRow, entryRow, readEntryRow, readRow, rowName } from './rows.js';
export type {
	AddReport,
	DamagedRow,
	EntryText,
	InviteRow,
	LoadedEntries,
	LocalStore,
	PenRow,
	RecordRow,
	Shelf,
	ShelfRows,
	StoreProblem,
	StoreResult,
} from './types.js';
