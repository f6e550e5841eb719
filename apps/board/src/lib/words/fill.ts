/** The `{names}` in a template. */
export type Blanks<Template extends string> = Template extends `${string}{${infer Name}}${infer Rest}`
	? Name | Blanks<Rest>
	: never;

/** Puts words into a template's blanks: `fill('host last {time}', { time: '14:02Z' })`. */
export function fill<Template extends string>(
	template: Template,
	words: Readonly<Record<Blanks<Template>, string>>,
): string {
	const given: Readonly<Record<string, string>> = words;
	return template.replace(/\{(\w+)\}/g, (_blank, name: string) => {
		const word = given[name];
		if (word === undefined) throw new Error(`No word for {${name}} in "${template}"`);
		return word;
	});
}
