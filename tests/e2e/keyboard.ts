import { expect, type Page } from '@playwright/test';

/** A person with a keyboard and nothing else: what has the focus is told by its accessible name, as a screen reader says it. */

const mostTabs = 400;

/** Presses Tab until what has the focus is called so; fails when nothing on the page is. */
export async function tabTo(page: Page, name: string | RegExp): Promise<void> {
	const wanted = typeof name === 'string' ? (found: string) => found === name : (found: string) => name.test(found);
	const met = new Set<string>();
	for (let count = 0; count < mostTabs; count += 1) {
		await page.keyboard.press('Tab');
		const found = await focusedName(page);
		if (wanted(found)) return;
		met.add(found);
	}
	throw new Error(`nothing called ${name} is reached by Tab; there are: ${[...met].join(' | ')}`);
}

/** Goes to a field and writes into it, in place of what stood there. */
export async function typeInto(page: Page, name: string | RegExp, text: string): Promise<void> {
	await tabTo(page, name);
	await page.keyboard.press('ControlOrMeta+a');
	await page.keyboard.type(text);
}

/** Goes to a button, link or tick box and presses it. */
export async function press(page: Page, name: string | RegExp, key: 'Enter' | 'Space' = 'Enter'): Promise<void> {
	await tabTo(page, name);
	await expectSeenFocus(page);
	await page.keyboard.press(key);
}

/** Goes to a list of choices and takes the one that begins with these words. */
export async function choose(page: Page, name: string | RegExp, words: string): Promise<void> {
	await tabTo(page, name);
	await page.keyboard.type(words);
}

export async function focusedName(page: Page): Promise<string> {
	return page.evaluate(() => {
		const at = document.activeElement;
		if (at === null || at === document.body) return '';
		const labelled = at.getAttribute('aria-labelledby');
		const named = labelled === null ? null : document.getElementById(labelled.split(' ')[0] ?? '');
		const labels = 'labels' in at ? [...((at as HTMLInputElement).labels ?? [])] : [];
		const own = at instanceof HTMLSelectElement || at instanceof HTMLInputElement ? '' : at.textContent;
		const label = labels[0]?.cloneNode(true) as HTMLElement | undefined;
		// a label around its field holds more than the name: what is written in the field and notes under it
		for (const part of label?.querySelectorAll('select, input, textarea, .soft') ?? []) part.remove();
		const text = at.getAttribute('aria-label') ?? named?.textContent ?? label?.textContent ?? own ?? '';
		return text.replace(/\s+/g, ' ').trim();
	});
}

/** What has the focus shows it: an outline of at least 2 px (WCAG 2.2, 2.4.13, published). */
async function expectSeenFocus(page: Page): Promise<void> {
	const outline = await page.evaluate(() => {
		const style = document.activeElement === null ? null : getComputedStyle(document.activeElement);
		return style === null || style.outlineStyle === 'none' ? 0 : Number.parseFloat(style.outlineWidth);
	});
	expect(outline).toBeGreaterThanOrEqual(2);
}
