/** Sample cards: smoothing alone, or a whole check flight from the papers to the last signature. */
export const sampleCards = ['smoothing', 'whole'] as const;
export type SampleCard = (typeof sampleCards)[number];
