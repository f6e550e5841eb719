import { openSqliteStore } from '../src/store/sqlite/sqlite-store.js';
import { describeStoreContract } from './store-contract.js';

describeStoreContract({
	name: 'openSqliteStore(path)',
	open: (place) => openSqliteStore(`${place}/records.sqlite`),
	openCopy: (path) => openSqliteStore(path),
});
