import type { CardStepModel, CheckLevel } from './model.js';

/**
 * Level A: a step expects an abnormal or emergency procedure of the flight manual, or proves a backup system or safety
 * device; Level B is every other check flight (SPO.SPEC.MCF.100, source S-40). Who may fly it, the manual and local
 * rules decide. @rule CRD-6
 */
export function checkLevel(steps: readonly CardStepModel[]): CheckLevel {
	const because = steps.filter(({ procedure }) => procedure !== 'normal').map(({ id }) => id);
	return { level: because.length > 0 ? 'A' : 'B', because, source: 'S-40' };
}
