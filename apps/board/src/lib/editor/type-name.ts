import { typeData } from '$lib/words/type-data.js';

/** Types of the invented samples: real data never goes under their name. */
const sampleTypes = ['ouzel 3', 'dunlin 5'];

/** What is wrong with the name of an aircraft type, in words; null when nothing is. */
export function typeNameFault(name: string): string | null {
	const plain = name.trim().toLowerCase();
	if (plain === '') return typeData.needName;
	return sampleTypes.includes(plain) ? typeData.sampleName : null;
}

/** Key of type data on this device. */
export function newTypeKey(random: (length: number) => Uint8Array): string {
	return [...random(12)].map((byte) => byte.toString(16).padStart(2, '0')).join('');
}
