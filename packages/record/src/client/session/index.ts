export { type Carried, type CarryProblem, exportSession, keepFile, takeFile } from './carry.js';
export type { SharedDraft } from './drafts.js';
export { type RecordAtRest, readAtRest } from './from-disk.js';
export { type Joined, joinRecord, keepInvite, pendingInvites } from './join.js';
export { type NewCheck, openCheck, openSession } from './open.js';
export type { EntryPlace, Keeping } from './places.js';
export type { ClientPorts, Hand, Session, SessionCounts, SessionStatus, WriteProblem } from './types.js';
