export { fromBase64url, toBase64url } from './base64url.js';
export { canonicalJson } from './canonical-json.js';
export { type AdmitProblem, admitEntry, fingerprint, hashBytes, hashEntry, hashJson } from './hash-entry.js';
