import { createContext } from 'svelte';
import type { FirstRun } from './first-run.svelte.js';

/** The first run of this device, handed down by the root layout. */
export const [getFirstRun, setFirstRun] = createContext<FirstRun>();
