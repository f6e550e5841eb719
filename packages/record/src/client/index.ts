/**
 * The client of the live record: opens a record on this device, keeps it, and keeps it level with its host. Takes
 * clock, network, disk and randomness from outside (`ClientPorts`); `@stillmast/record/client/browser` and
 * `@stillmast/record/client/indexeddb` supply those of a browser.
 */
export {
	type AccessProblem,
	fetchHostKey,
	LINK_TIMES,
	type LinkState,
	type LinkTimes,
	postInvite,
	worthRetrying,
} from './link/index.js';
export type {
	Cancel,
	ClockPort,
	DevicePort,
	HttpAnswer,
	NetworkPort,
	RandomPort,
	Socket,
	SocketHandlers,
	TabsPort,
} from './ports.js';
export {
	type Carried,
	type CarryProblem,
	type ClientPorts,
	type EntryPlace,
	exportSession,
	type Hand,
	type Joined,
	joinRecord,
	type Keeping,
	keepFile,
	keepInvite,
	type NewCheck,
	openCheck,
	openSession,
	pendingInvites,
	type RecordAtRest,
	readAtRest,
	type Session,
	type SessionCounts,
	type SessionStatus,
	type SharedDraft,
	takeFile,
	type WriteProblem,
} from './session/index.js';
export type { InviteRow, LocalStore, PenRow, RecordRow, StoreProblem } from './store/index.js';
