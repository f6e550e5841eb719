import adapter from '@sveltejs/adapter-node';
import { sveltekit } from '@sveltejs/kit/vite';
import { defineConfig } from 'vite';

export default defineConfig({
	plugins: [
		sveltekit({
			adapter: adapter({ out: 'build', precompress: true }),
			paths: { relative: false },
			compilerOptions: {
				runes: ({ filename }) => (filename.split(/[/\\]/).includes('node_modules') ? undefined : true),
			},
		}),
	],
	server: { proxy: { '/sync': { target: 'ws://127.0.0.1:4300', ws: true }, '/api': 'http://127.0.0.1:4300' } },
});
