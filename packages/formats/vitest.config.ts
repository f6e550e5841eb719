import { defineConfig } from 'vitest/config';

// Property tests read thousands of documents; on a busy machine that takes its time.
export default defineConfig({ test: { testTimeout: 30_000 } });
