/**
 * The rooms of the relay without web, sockets and threads: what a process that brings its own network and store (a
 * seeded simulation, a bench) runs in the relay's place. Nothing in here differs from what `startRelay` runs.
 */
export { visitorOf } from '../access/visitor.js';
export type { Cancel, Clock, Log, LogLine, Random } from '../ports.js';
export { adoptEntries } from '../room/adopt.js';
export { guardHere, type UpdateGuard } from '../room/guard.js';
export { createHall, type Hall, type StoreState } from '../room/hall.js';
export { type SeatLimits, seatLimits } from '../room/pace.js';
export type { PeerSocket } from '../room/peer-socket.js';
export { takeSeat, type Visitor } from '../room/seat.js';
export type {
	Blob,
	EntryRow,
	HostKeyRow,
	InviteRow,
	Membership,
	PersonRow,
	RecordWrite,
	Store,
	StoredHead,
	StoredRecord,
	StoredUpdate,
} from '../store/store.js';
