export { blobHashesOf } from './blob-hashes.js';
export { type Exported, exportRecord, RECORD_FORMAT, type RecordFile } from './export-record.js';
export { type Imported, type ImportProblem, importRecord } from './import-record.js';
export { type FileFault, type ReadFile, readRecordFile } from './read-record-file.js';
export { type RecordFault, type VerifyOptions, type VerifyReport, verifyRecordFile } from './verify-record-file.js';
