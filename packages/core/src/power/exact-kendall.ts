/** Series longer than this have a normal score for all purposes; ties have no such table. */
const longest = 30;

/**
 * Chance, without any trend, of a score as far from zero as `s` in a series of n different values: every order is equally
 * likely, and the number of orders with a given score follows by adding one value at a time (source S-32).
 * @returns null over 30 values, and for a score that no series without ties has
 */
export function exactKendallP(n: number, s: number): number | null {
	const most = (n * (n - 1)) / 2;
	if (n < 2 || n > longest || Math.abs(s) > most || (most - s) % 2 !== 0) return null;
	// shares[k]: of orders with k pairs the wrong way round.
	let shares: readonly number[] = [1];
	for (let size = 2; size <= n; size++) {
		const before = shares;
		shares = Array.from({ length: before.length + size - 1 }, (_, k) => {
			let sum = 0;
			for (let added = 0; added < size; added++) sum += before[k - added] ?? 0;
			return sum / size;
		});
	}
	const wrong = (most - Math.abs(s)) / 2;
	const tail = shares.slice(0, wrong + 1).reduce((sum, share) => sum + share, 0);
	return Math.min(1, 2 * tail);
}
