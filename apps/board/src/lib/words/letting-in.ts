/** Strings of letting somebody into a check, and of the words that both compare. Same rules as the parts' catalogue. */
export const lettingIn = {
	title: 'Let somebody in',
	role: 'They come as',
	roles: { pilot: 'pilot', engineer: 'engineer', support: 'support', instructor: 'instructor', reviewer: 'reviewer' },
	link: 'Make a link',
	spoken: 'Code to read out',
	linkFor: 'Link for one {role}',
	linkText: 'Good for one person and 12 hours. Show the square, or copy the link.',
	qr: 'Square code of the link',
	spokenFor: 'Read out to one {role}',
	spokenText: 'Good once, for 10 minutes. They write it under “Join this check”.',
	compare: 'Compare the words',
	compareText:
		'Ask each person for the three words on their screen. Other words mean another host or another person: then lock that device out.',
	working: 'making the words',
	none: 'Nobody has come in through the host yet.',
	readOnly: 'Pilots, engineers and whoever opened the check let others in.',
	alone: 'This check is on this device only. Nobody else can come in.',
	unreachable: 'The host cannot be reached. Without it nobody can be let in.',
	failed: 'No invitation was made: {reason}.',
} as const;
