/** A place on the sheet, in sheet units, y downwards, the still point at 0, 0. */
export interface Place {
	readonly x: number;
	readonly y: number;
}

/** Which way the blades go round as the sheet shows them. */
export type TurningSense = 'anticlockwise' | 'clockwise';

/**
 * Direction on the sheet of an angle counted the way blades follow each other, reference blade up.
 * When the rotor turns anticlockwise the next blade to come up stands clockwise of the reference.
 */
export function towards(angleDeg: number, turns: TurningSense): Place {
	const angle = (angleDeg * Math.PI) / 180;
	const way = turns === 'anticlockwise' ? 1 : -1;
	return { x: way * Math.sin(angle), y: -Math.cos(angle) };
}

export function along(direction: Place, length: number): Place {
	return { x: direction.x * length, y: direction.y * length };
}

export function plus(one: Place, other: Place): Place {
	return { x: one.x + other.x, y: one.y + other.y };
}

/** Quarter turn, as the sheet shows it, clockwise. */
export function across(direction: Place): Place {
	return { x: -direction.y, y: direction.x };
}

/** Path text of a place, to a hundredth of a unit. */
export function at(place: Place): string {
	return `${hundredths(place.x)} ${hundredths(place.y)}`;
}

function hundredths(length: number): number {
	return Math.round(length * 100) / 100 + 0;
}
