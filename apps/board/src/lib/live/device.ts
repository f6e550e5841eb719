import type { ClientPorts, NetworkPort } from '@stillmast/record/client';
import {
	browserClock,
	browserDevice,
	browserNetwork,
	browserRandom,
	browserTabs,
} from '@stillmast/record/client/browser';
import { indexedDbStore } from '@stillmast/record/client/indexeddb';
import { version } from '$app/environment';

/** What this page runs on: the browser's clock, disk and network. One per page load. */
export type Device = ClientPorts & { readonly network: NetworkPort };

export function openDevice(): Device {
	return {
		clock: browserClock,
		random: browserRandom,
		device: browserDevice,
		store: indexedDbStore(),
		network: browserNetwork(location.origin),
		tabs: browserTabs,
		build: version,
	};
}
