/** Back substitution in place; column-major with the given leading dimension. */
export function solveUpper(root: Float64Array, order: number, lead: number, x: Float64Array, at: number): void {
	for (let j = order - 1; j >= 0; j--) {
		const value = x[at + j]! / root[j * lead + j]!;
		x[at + j] = value;
		for (let i = 0; i < j; i++) x[at + i]! -= value * root[j * lead + i]!;
	}
}

/** Solves R'w = s in place for a column-major upper triangle: then w·w is the variance of s·z. */
export function forward(root: Float64Array, order: number, s: Float64Array, at: number): void {
	for (let i = 0; i < order; i++) {
		let sum = s[at + i]!;
		const column = i * order;
		for (let j = 0; j < i; j++) sum -= root[column + j]! * s[at + j]!;
		s[at + i] = sum / root[column + i]!;
	}
}

/** The locals of a channel that go with given globals: R_ll·x = head − R_lg·global. */
export function solveLocals(
	root: Float64Array,
	locals: number,
	globals: number,
	head: Float64Array,
	global: Float64Array,
	into: Float64Array,
	at: number,
): void {
	for (let i = 0; i < locals; i++) into[at + i] = head[i]!;
	for (let j = 0; j < globals; j++) {
		const value = global[j]!;
		if (value === 0) continue;
		const from = (locals + j) * locals;
		for (let i = 0; i < locals; i++) into[at + i]! -= value * root[from + i]!;
	}
	solveUpper(root, locals, locals, into, at);
}
