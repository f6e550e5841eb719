import { fileURLToPath } from 'node:url';
import { defineConfig } from 'vitest/config';

// Tests name the sources and run the build: the store's thread exists only as a compiled file.
export default defineConfig({
	resolve: { alias: [{ find: /^(\.\.\/)+src\//, replacement: fileURLToPath(new URL('./dist/', import.meta.url)) }] },
	test: { include: ['test/**/*.test.ts'], testTimeout: 60_000 },
});
