/** What is signed for an entry: its hash under a name of its own, so that no other signed text can stand for it. */
export function entryText(hash: string): string {
	return `stillmast entry v1\n${hash}`;
}
