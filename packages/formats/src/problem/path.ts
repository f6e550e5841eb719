const bareName = /^[A-Za-z_][A-Za-z0-9_]*$/;

/** Longest key that a path quotes whole; what comes from outside may be megabytes long. */
const keyLimit = 80;

/** `$` extended by object keys and array indexes, as RFC 9535 quotes them: `$.runs[1].readings['hover/lat']`. */
export function childPath(parent: string, ...keys: readonly (string | number)[]): string {
	return keys.reduce<string>((path, key) => {
		if (typeof key === 'number') return `${path}[${key}]`;
		if (bareName.test(key) && key.length <= keyLimit) return `${path}.${key}`;
		return `${path}['${quotable(key.length > keyLimit ? `${key.slice(0, keyLimit)}…` : key)}']`;
	}, parent);
}

function quotable(key: string): string {
	return JSON.stringify(key).slice(1, -1).replaceAll('\\"', '"').replaceAll("'", "\\'");
}
