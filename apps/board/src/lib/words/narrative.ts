/** Strings of texts that people write together. Same rules as the parts' catalogue. */
export const narrative = {
	whatHappened: 'What happened',
	together: 'Everybody who has this open writes on the same draft. Whoever keeps it is its author.',
	typing: '{name} is typing.',
	somebodyTyping: 'Somebody else is typing.',
	apart: 'No host: what others type comes with the next link.',
} as const;
