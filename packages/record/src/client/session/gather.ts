/** Calls `work` once for any number of calls made before it runs, after what is running now. */
export function gather(work: () => void): () => void {
	let planned = false;
	return () => {
		if (planned) return;
		planned = true;
		queueMicrotask(() => {
			planned = false;
			work();
		});
	};
}
