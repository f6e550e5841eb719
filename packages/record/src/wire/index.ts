export {
	ASSEMBLED_BYTES_MAX,
	AWARENESS_BYTES_MAX,
	BLOB_BYTES_MAX,
	type CloseCode,
	closeCodes,
	DRAFT_BYTES_MAX,
	FRAME_BYTES_MAX,
	offeredProtocols,
	SUBPROTOCOL,
	SYNC_PATH,
	syncPath,
	TRACE_CHUNK_BYTES_MAX,
	ticketOf,
	ticketText,
	WIRE_VERSION,
} from './access.js';
export { carriesUpdate, decodeMessage, encodeMessage, type WireProblem } from './codec.js';
export { FragmentAssembler, type FragmentProblem, frames } from './fragment.js';
export { type ChainHead, type Draft, type Feed, type Hello, messageTypes, type WireMessage } from './message.js';
export { mayWrite, type RoleFacts, type RoleRule, roleTable, writes } from './role-table.js';
