import { createContext } from 'svelte';
import type { Editing } from './editing.svelte.js';

/** The type data on this page, handed down to every field. */
export const [getEditing, setEditing] = createContext<Editing>();
