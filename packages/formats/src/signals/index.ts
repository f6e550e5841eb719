export type { ColumnPiece } from './columns.js';
export { type CsvLayout, CsvReader } from './csv-reader.js';
export type { SignalFileFault, SignalFileFaultCode } from './fault.js';
export {
	columnsOf,
	type RecordingKind,
	type RecordingReader,
	recordingKindOf,
	recordingReader,
	reduceRecording,
} from './recording.js';
export { readSignalSetup, type SignalSetupDocument, signalSetupSchema } from './setup-schema.js';
export { readUff58, type UffDataset } from './uff58.js';
export type { UffForm, UffHead } from './uff58-head.js';
export { type WavLayout, WavReader } from './wav-reader.js';
