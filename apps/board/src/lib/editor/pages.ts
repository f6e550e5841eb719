/** Pages in the order they are typed; the first two are enough to fly a card. */
export const pages = ['limits', 'card', 'rotor', 'charts', 'bleed'] as const;
export type Page = (typeof pages)[number];
