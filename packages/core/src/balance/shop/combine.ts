import { add, negate, zero } from '../../phasor/index.js';
import { massOf, phasorOfMass, type ShopMass } from './quantities.js';

/**
 * Several masses at one radius as a single one: their vector sum. An empty list and masses that cancel give amount 0.
 * Bring masses at other radii to the common one with `atRadius` first.
 */
export function combineMasses(masses: readonly ShopMass[]): ShopMass {
	return massOf(
		masses.reduce((sum, mass) => add(sum, phasorOfMass(mass, 'same')), zero),
		'same',
	);
}

/** The one mass that balances several at the same radius: opposite to their sum, which is the heavy side. */
export function balancingMass(masses: readonly ShopMass[]): ShopMass {
	const heavy = combineMasses(masses);
	return massOf(negate(phasorOfMass(heavy, 'same')), 'same');
}
