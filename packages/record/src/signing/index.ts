export {
	type ContentTerms,
	type Covered,
	contentDigest,
	coveredBy,
	type LostDevices,
	type SignedHeads,
} from './content.js';
export type { Cover, SignatureState, SignedContent, Signing } from './state.js';
export { type ToSign, type ToSignProblem, toSign } from './to-sign.js';
