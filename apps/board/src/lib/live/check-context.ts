import { createContext } from 'svelte';
import type { LiveCheck } from './live-check.svelte.js';

/** The check of this page, handed down by the layout of its views. */
export const [getCheck, setCheck] = createContext<LiveCheck>();
