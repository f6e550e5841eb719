import type { DevicePort } from '../../src/client/ports.js';

export interface TestDevice extends DevicePort {
	readonly set: (state: { readonly online?: boolean; readonly visible?: boolean }) => void;
	readonly listeners: () => number;
}

export function testDevice(): TestDevice {
	let online = true;
	let visible = true;
	const listeners = new Set<() => void>();
	return {
		online: () => online,
		visible: () => visible,
		onChange: (listener) => {
			listeners.add(listener);
			return () => void listeners.delete(listener);
		},
		set: (state) => {
			online = state.online ?? online;
			visible = state.visible ?? visible;
			for (const listener of listeners) listener();
		},
		listeners: () => listeners.size,
	};
}
