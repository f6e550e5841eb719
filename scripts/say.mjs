/** A failure that the reader can do something about: printed as its sentence, without a stack. */
export class Advice extends Error {}

/** One line of progress on standard error, so that standard output stays for results. @param {string} line */
export function say(line) {
	process.stderr.write(`stillmast: ${line}\n`);
}

/** Prints what went wrong and ends with status 1; an unexpected error keeps its stack. @param {unknown} error */
export function stopWithSentence(error) {
	if (error instanceof Advice) say(error.message);
	else console.error(error);
	process.exit(1);
}
