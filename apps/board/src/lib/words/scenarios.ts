/** Strings of the page of invented checks. Same rules as the parts' catalogue; titles are the scenarios' own. */
export const scenarios = {
	title: 'Invented checks',
	intro: 'Each teaches one thing that goes wrong. Nothing in them is real.',
	kept: 'What you open is played on this device and kept here only.',
	code: 'Your pen in each of them is a sample pen, code 0000.',
	open: 'Open',
	openThe: 'Open: {title}',
	visitor: '{initial} (you, in {registration})',
	reading: 'Reading the invented checks',
	working: 'Opening {title}',
	failed: 'It could not be opened: {reason}.',
} as const;
