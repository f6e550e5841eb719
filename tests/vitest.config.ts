import { defineConfig } from 'vitest/config';

export default defineConfig({
	test: {
		include: ['{vectors,contract,sync,chaos,scenarios}/**/*.test.ts'],
		testTimeout: 30_000,
		passWithNoTests: true,
	},
});
