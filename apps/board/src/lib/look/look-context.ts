import { createContext } from 'svelte';
import type { Look } from './look.svelte.js';

/** The one look of this device, handed down by the layout. */
export const [getLook, setLook] = createContext<Look>();
