import { createContext } from 'svelte';
import type { Device } from './device.js';

/** The device of this page, handed down by the root layout. */
export const [getDevice, setDevice] = createContext<Device>();
