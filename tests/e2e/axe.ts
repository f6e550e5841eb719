import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { expect, type Page } from '@playwright/test';

const axeSource = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');

interface AxeWindow {
	readonly axe: {
		run(): Promise<{
			readonly violations: readonly {
				readonly id: string;
				readonly nodes: readonly { readonly html: string; readonly failureSummary?: string }[];
			}[];
			readonly passes: readonly unknown[];
		}>;
	};
}

/** What axe finds against a page, and that it looked at all. */
export async function expectNoViolation(page: Page, name: string, except: readonly string[] = []): Promise<void> {
	await page.evaluate(axeSource);
	const { violations, passCount } = await page.evaluate(async (off) => {
		const found = await (globalThis as unknown as AxeWindow).axe.run();
		return {
			violations: found.violations
				.filter(({ id }) => !off.includes(id))
				.flatMap(({ id, nodes }) =>
					nodes.map((node) => `${id}: ${node.html.slice(0, 160)} ${node.failureSummary?.slice(0, 200) ?? ''}`),
				),
			passCount: found.passes.length,
		};
	}, except);
	expect.soft(violations, name).toEqual([]);
	expect(passCount, name).toBeGreaterThan(10);
}
