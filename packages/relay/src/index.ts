export { openSqliteStore, StoreError } from './store/sqlite/sqlite-store.js';
export type { Store } from './store/store.js';
