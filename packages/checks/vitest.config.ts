import { defineConfig } from 'vitest/config';

// The checks read and parse the whole repository; on a busy machine that takes its time.
export default defineConfig({ test: { testTimeout: 60_000 } });
