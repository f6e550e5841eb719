import { defineConfig } from 'vitest/config';

// Several tests learn, choose and reduce whole recordings; on a busy machine that takes its time.
export default defineConfig({ test: { testTimeout: 30_000 } });
