export {
	type AccessPen,
	type AccessProblem,
	fetchHostKey,
	fetchTicket,
	type Joined,
	postInvite,
	postJoin,
	postRecord,
	worthRetrying,
} from './access.js';
export { backoffMs } from './backoff.js';
export { type Link, type LinkEvents, type LinkPorts, startLink } from './link.js';
export { LINK_TIMES, type LinkState, type LinkTimes } from './state.js';
