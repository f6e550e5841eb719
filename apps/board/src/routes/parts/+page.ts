import { error } from '@sveltejs/kit';
import { dev } from '$app/environment';
import { english } from '$lib/words/english.js';
import type { PageLoad } from './$types';

const ownMachine: readonly string[] = ['localhost', '127.0.0.1', '[::1]'];

/** Every part in every state, for those who build the board: on their own machine only. */
export const load: PageLoad = ({ url }) => {
	if (!dev && !ownMachine.includes(url.hostname)) error(404, english.board.notFound);
	return { only: url.searchParams.get('only'), theme: url.searchParams.get('theme') };
};
