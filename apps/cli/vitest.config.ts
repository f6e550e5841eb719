import { defineConfig } from 'vitest/config';

// Several tests start programs and stores; on a busy machine that takes its time.
export default defineConfig({ test: { testTimeout: 30_000 } });
