/** Papers the sheets are made for. */
export type PaperSize = 'a4' | 'letter';

/** Whole pages, or half of one lying on its side: what a rotor head slip needs. */
export type PageForm = 'whole' | 'half';

export interface PageRule {
	readonly size: PaperSize;
	readonly form: PageForm;
	/** Stands at the foot of each page, left: registration and digest. */
	readonly foot: string;
	/** Stands at the head of each page: the state in words. */
	readonly head: string;
	/** "page" and "of", between which the browser counts. */
	readonly words: { readonly page: string; readonly of: string };
}

const sizes: Readonly<Record<PaperSize, Readonly<Record<PageForm, string>>>> = {
	a4: { whole: '210mm 297mm', half: '210mm 148.5mm' },
	letter: { whole: '8.5in 11in', half: '8.5in 5.5in' },
};

/** CSS of the page box (CSS Paged Media Level 3, margin boxes and page counters): every page names itself. */
export function pageCss({ size, form, foot, head, words }: PageRule): string {
	const text = 'font: 9pt B612, sans-serif; color: #16201f;';
	return `@page {
	size: ${sizes[size][form]};
	margin: ${form === 'whole' ? '18mm 16mm 18mm 16mm' : '12mm 12mm 14mm 12mm'};
	@top-right { ${text} content: ${quoted(head)}; }
	@bottom-left { ${text} content: ${quoted(foot)}; }
	@bottom-right { ${text} content: ${quoted(`${words.page} `)} counter(page) ${quoted(` ${words.of} `)} counter(pages); }
}`;
}

/** Lays the rule over a document until the returned function is called. A constructed sheet needs no inline style. */
export function layPage(target: Document, rule: PageRule): () => void {
	const sheet = new CSSStyleSheet();
	sheet.replaceSync(pageCss(rule));
	target.adoptedStyleSheets = [...target.adoptedStyleSheets, sheet];
	return () => {
		target.adoptedStyleSheets = target.adoptedStyleSheets.filter((one) => one !== sheet);
	};
}

function quoted(text: string): string {
	return `"${text.replace(/["\\\n\r]/g, (sign) => `\\${sign.codePointAt(0)?.toString(16)} `)}"`;
}
