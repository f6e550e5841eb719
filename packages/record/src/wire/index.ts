export {
	ASSEMBLED_BYTES_MAX,
	AWARENESS_BYTES_MAX,
	BLOB_BYTES_MAX,
	type CloseCode,
	closeCodes,
	DRAFT_BYTES_MAX,
	FEED_PATH,
	FRAME_BYTES_MAX,
	feedPath,
	offeredProtocols,
	SUBPROTOCOL,
	SYNC_PATH,
	syncPath,
	ticketOf,
	ticketText,
	WIRE_VERSION,
} from './access.js';
export { carriesUpdate, decodeMessage, encodeMessage, type WireProblem } from './codec.js';
export { FragmentAssembler, type FragmentProblem, frames } from './fragment.js';
export { type ChainHead, type Draft, type Feed, type Hello, messageTypes, type WireMessage } from './message.js';
export { mayWrite, mayWriteSome, type RoleFacts, type RoleRule, roleTable, writes } from './role-table.js';
