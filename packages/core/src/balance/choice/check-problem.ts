import type { ChoiceConstraint, ChoiceOptions, ChoiceProblem, ChoiceTerm, ChoiceVariable } from './types.js';

/**
 * Refuses a problem that no data or crew can cause: wrong sizes, numbers that are not finite, settings out of order.
 * @throws RangeError naming the place; the caller builds these numbers, so a bad one is a programmer error.
 */
export function checkChoiceProblem(problem: ChoiceProblem): void {
	const size = problem.variables.length;
	if (problem.terms.length === 0) throw new RangeError('terms: at least one is needed');
	problem.variables.forEach((variable, at) => {
		checkVariable(variable, `variables[${at}]`);
	});
	problem.terms.forEach((term, at) => {
		checkTerm(term, size, `terms[${at}]`);
	});
	problem.constraints.forEach((constraint, at) => {
		checkConstraint(constraint, size, `constraints[${at}]`);
	});
	checkCount(problem.maxTouches, 0, 'maxTouches');
	if (problem.keepBest !== undefined) checkCount(problem.keepBest, 1, 'keepBest');
	for (const count of problem.touchCounts ?? []) {
		checkCount(count, 0, 'touchCounts');
		if (count > problem.maxTouches) throw new RangeError(`touchCounts: ${count} is over maxTouches`);
	}
}

/** Refuses options that contradict themselves. @throws RangeError */
export function checkChoiceOptions(options: ChoiceOptions): void {
	if (options.budgetMs !== undefined) {
		checkNotNegative(options.budgetMs, 'budgetMs');
		if (options.nowMs === undefined) throw new RangeError('budgetMs needs nowMs');
	}
	if (options.nodeLimit !== undefined) checkNotNegative(options.nodeLimit, 'nodeLimit');
}

function checkVariable(variable: ChoiceVariable, place: string): void {
	checkFinite(variable.current, `${place}.current`);
	checkNotNegative(variable.effort, `${place}.effort`);
	checkNotNegative(variable.mass, `${place}.mass`);
	let before = Number.NEGATIVE_INFINITY;
	for (const value of variable.allowed) {
		checkFinite(value, `${place}.allowed`);
		if (value <= before) throw new RangeError(`${place}.allowed: must ascend without repeats`);
		before = value;
	}
}

function checkTerm(term: ChoiceTerm, size: number, place: string): void {
	if (term.rows.length !== term.offset.length) throw new RangeError(`${place}: rows and offset differ in length`);
	if (term.weight !== undefined) checkNotNegative(term.weight, `${place}.weight`);
	for (const value of term.offset) checkFinite(value, `${place}.offset`);
	for (const row of term.rows) {
		if (row.length !== size) throw new RangeError(`${place}.rows: ${row.length} numbers for ${size} variables`);
		for (const value of row) checkFinite(value, `${place}.rows`);
	}
}

function checkConstraint(constraint: ChoiceConstraint, size: number, place: string): void {
	if (constraint.coefficients.length !== size) throw new RangeError(`${place}.coefficients: needs ${size} numbers`);
	for (const value of constraint.coefficients) checkFinite(value, `${place}.coefficients`);
	checkFinite(constraint.atMost, `${place}.atMost`);
}

function checkFinite(value: number, place: string): void {
	if (!Number.isFinite(value)) throw new RangeError(`${place}: ${value} is not finite`);
}

function checkNotNegative(value: number, place: string): void {
	if (Number.isNaN(value) || value < 0) throw new RangeError(`${place}: ${value} is not a number from 0 up`);
	if (place !== 'nodeLimit' && place !== 'budgetMs') checkFinite(value, place);
}

function checkCount(value: number, least: number, place: string): void {
	if (!Number.isInteger(value) || value < least)
		throw new RangeError(`${place}: ${value} is not a whole number from ${least} up`);
}
