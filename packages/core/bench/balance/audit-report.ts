import type { AuditTrial } from './audit-trials.js';
import { shareOf } from './statistics.js';
import { percent, table, verdict } from './table.js';

export interface AuditResult {
	readonly shape: string;
	readonly trials: readonly AuditTrial[];
}

const FAR_SD = 3;
const TARGETS = { first: { right: 0.75, alarms: 0.05 }, later: { right: 0.9, alarms: 0.02 } } as const;

/** Mistakes named rightly and false alarms, per rotor and moment. */
export function auditTable(results: readonly AuditResult[]): string {
	const rows = results.flatMap(({ shape, trials }) =>
		(['first', 'later'] as const).map((when) => {
			const own = trials.filter((trial) => trial.when === when);
			const wrong = own.filter((trial) => trial.mistake !== null);
			const far = wrong.filter((trial) => trial.apartSd > FAR_SD);
			const right = shareOf(far.filter(isRight).length, far.length);
			const clean = own.filter((trial) => trial.mistake === null);
			const alarms = shareOf(clean.filter((trial) => !trial.audit.fits).length, clean.length);
			const target = TARGETS[when];
			const settled = (low: number, high: number, line: number) => low > line || high < line;
			return [
				shape,
				when === 'first' ? 'first change' : 'after a change that fitted',
				`${far.length} of ${wrong.length}`,
				percent(right),
				`≥ ${100 * target.right} %: ${verdict(right.share >= target.right, settled(right.low95, right.high95, target.right))}`,
				percent(alarms),
				`≤ ${100 * target.alarms} %: ${verdict(alarms.share <= target.alarms, settled(alarms.low95, alarms.high95, target.alarms))}`,
			];
		}),
	);
	const head = ['rotor', 'when', 'over 3 sd apart', 'named rightly', 'target', 'false alarms', 'target'];
	return table(head, rows);
}

/** What each mistake was taken for, mistakes over 3 sd apart only. */
export function confusionTable(results: readonly AuditResult[]): string {
	const rows: string[][] = [];
	for (const { shape, trials } of results) {
		const far = trials.filter((trial) => trial.mistake !== null && trial.apartSd > FAR_SD);
		const ids = [...new Set(far.map((trial) => trial.mistake!.id))].sort();
		for (const id of ids) {
			const own = far.filter((trial) => trial.mistake!.id === id);
			const count = (test: (trial: AuditTrial) => boolean) => own.filter(test).length;
			const others = own.filter((t) => !isRight(t) && !t.audit.fits && !t.audit.best.includes('none-fits'));
			const names = [...new Set(others.map((trial) => trial.audit.best.join(' or ')))];
			rows.push([
				shape,
				id,
				`${own.length}`,
				`${count(isRight)}`,
				`${count((t) => !isRight(t) && t.audit.fits)}`,
				`${count((t) => !isRight(t) && t.audit.best.includes('none-fits'))}`,
				others.length === 0 ? '0' : `${others.length}: ${names.join(', ')}`,
			]);
		}
	}
	return table(['rotor', 'mistake made', 'times', 'named rightly', 'taken as recorded', 'none fits', 'another'], rows);
}

function isRight({ mistake, audit }: AuditTrial): boolean {
	return mistake !== null && audit.best.includes(mistake.id);
}
