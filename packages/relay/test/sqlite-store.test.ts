import { describe } from 'vitest';
import { openSqliteStore } from '../src/store/sqlite/sqlite-store.js';
import { describeStoreContract } from './store-contract.js';

describe('[RLY-1] [RLY-2] [RLY-3] [RLY-6] the embedded store', () => {
	describeStoreContract({
		name: 'openSqliteStore(path)',
		open: (place) => openSqliteStore(`${place}/records.sqlite`),
		openCopy: (path) => openSqliteStore(path),
	});
});
