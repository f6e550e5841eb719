/** One line of a picture told as a list. */
export interface ListRow {
	readonly what: string;
	readonly words: string;
}
