import { defineConfig } from 'vitest/config';

// Several tests simulate hours or sign thousands of entries; on a busy machine that takes its time.
export default defineConfig({ test: { testTimeout: 30_000 } });
