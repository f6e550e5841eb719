export type { JoinNews } from './access/api.js';
export { type AuthorityOptions, type OwnAuthority, openAuthority } from './certificate/authority.js';
export type { Clock, Log, LogLine, Random } from './ports.js';
export { type Invitation, type Relay, type RelayOptions, startRelay } from './relay.js';
export type { Certificate, PageHandler } from './serve/web.js';
export { copyStore } from './store/copy-store.js';
export { openPostgresStore } from './store/postgres/postgres-store.js';
export { openSqliteStore, StoreError } from './store/sqlite/sqlite-store.js';
export type { Store } from './store/store.js';
