/** Strings of signing without a device that will not come back. Same rules as the parts' catalogue. */
export const lost = {
	title: 'Sign without a lost device',
	text: 'Only when it will not come back. What it wrote and is not here stays out.',
	name: 'The device of {name}, {role}, is lost',
	reason: 'What happened to it',
	needReason: 'Say what happened to each lost device: it stands in the signature.',
	signedWithout: 'Signed without the device of {name}, {role}: {reason}.',
	nothingSince: 'Nothing of it has come since.',
	late: 'It came back. Added after signing, of that device: {count}.',
} as const;
