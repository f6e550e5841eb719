import { english } from '$lib/words/english.js';
import { fill } from '$lib/words/fill.js';

/** How far a step is: done, now, left for later, to be measured again, or still ahead. */
export type RibbonState = 'done' | 'now' | 'left' | 'again' | 'ahead';

/** A step of the card as the ribbon shows it. */
export interface RibbonStep {
	readonly id: string;
	/** "80 kt level". */
	readonly title: string;
	/** Where this step lies in the flight's silhouette: 0 on the ground, 1 at the highest. */
	readonly rise: number;
	readonly state: RibbonState;
}

export interface RibbonPost {
	readonly id: string;
	readonly state: RibbonState;
	/** Middle of the post across the ribbon, percent. */
	readonly acrossPct: number;
	/** Foot of the post below the top, percent. */
	readonly footPct: number;
	/** "80 kt level, done". */
	readonly words: string;
}

export interface RibbonDrawing {
	/** The silhouette, in a box of 100 by 100. */
	readonly silhouette: string;
	readonly posts: readonly RibbonPost[];
	/** "hover lateral, now", or empty when no step is now. */
	readonly nowWords: string;
	/** One step's room across the ribbon, percent. */
	readonly roomPct: number;
}

const groundPct = 94;
const highestPct = 46;
/** Share of a step's room that is level; the rest climbs or sinks to the neighbour. */
const levelShare = 0.56;

/** The card as the silhouette of its flight, one post a step. It always fits: it never scrolls. */
export function ribbonDrawing(steps: readonly RibbonStep[]): RibbonDrawing {
	const room = steps.length === 0 ? 100 : 100 / steps.length;
	const posts = steps.map((step, index) => ({
		id: step.id,
		state: step.state,
		acrossPct: room * (index + 0.5),
		footPct: footOf(step.rise),
		words: fill(english.ribbon.post, { title: step.title, state: english.ribbon[step.state] }),
	}));
	return {
		silhouette: silhouetteOf(posts, room),
		posts,
		nowWords: posts.find((post) => post.state === 'now')?.words ?? '',
		roomPct: room,
	};
}

function footOf(rise: number): number {
	return groundPct - Math.min(1, Math.max(0, rise)) * (groundPct - highestPct);
}

function silhouetteOf(posts: readonly RibbonPost[], room: number): string {
	const half = (room * levelShare) / 2;
	const levels = posts.map(
		(post) =>
			`${tenth(post.acrossPct - half)} ${tenth(post.footPct)} L${tenth(post.acrossPct + half)} ${tenth(post.footPct)}`,
	);
	return `M0 ${groundPct} L${[...levels, `100 ${groundPct}`].join(' L')}`;
}

function tenth(pct: number): number {
	return Math.round(pct * 10) / 10;
}
