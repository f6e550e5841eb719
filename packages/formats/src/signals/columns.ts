/** A piece of a recording: columns by name, equally long. Missing samples are NaN. */
export type ColumnPiece = Readonly<Record<string, Float64Array>>;

/** Sample rates this far apart are the same one written with fewer digits. */
export const rateTolerance = 0.005;

/** Columns that grow together, row by row. */
export class GrowingColumns {
	readonly #names: readonly string[];
	#columns: Float64Array[];
	#rows = 0;

	constructor(names: readonly string[]) {
		this.#names = names;
		this.#columns = names.map(() => new Float64Array(1024));
	}

	/** Makes room for one more row, all NaN, and returns its number. */
	addRow(): number {
		const row = this.#rows++;
		if (row >= (this.#columns[0]?.length ?? 0)) {
			this.#columns = this.#columns.map((column) => {
				const larger = new Float64Array(column.length * 2);
				larger.set(column);
				return larger;
			});
		}
		for (const column of this.#columns) column[row] = Number.NaN;
		return row;
	}

	set(column: number, row: number, value: number): void {
		(this.#columns[column] as Float64Array)[row] = value;
	}

	/** Hands over what was gathered and starts anew. */
	take(): ColumnPiece {
		const piece = Object.fromEntries(
			this.#names.map((name, k) => [name, (this.#columns[k] as Float64Array).slice(0, this.#rows)]),
		);
		this.#rows = 0;
		return piece;
	}
}
