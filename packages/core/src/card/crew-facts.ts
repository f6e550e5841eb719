import type { CheckLevel } from './model.js';

/** What a rule asks of those aboard or of the papers, told as the rule: never as "qualified". */
export interface CrewFact {
	readonly id: string;
	/** The rule in our words; the rule itself governs, and the national authority's version of it. */
	readonly words: string;
	/** Row of docs/sources.md, and the place within it. */
	readonly source: string;
	readonly place: string;
}

interface LevelFact extends CrewFact {
	readonly levels: readonly CheckLevel['level'][];
}

const both = ['A', 'B'] as const;
const onlyA = ['A'] as const;

/** Facts of SPO.SPEC.MCF as amended by Regulation (EU) 2019/1384, and of 14 CFR 91.407; complex motor-powered aircraft. */
const facts: readonly LevelFact[] = [
	{
		id: 'programme',
		levels: onlyA,
		words: 'A flight programme is written down before the flight.',
		source: 'S-41',
		place: 'SPO.SPEC.MCF.105',
	},
	{
		id: 'manual',
		levels: onlyA,
		words: 'The operations manual or a check-flight manual covers it, kept current and known to the staff.',
		source: 'S-41',
		place: 'SPO.SPEC.MCF.110',
	},
	{
		id: 'procedure',
		levels: ['B'],
		words: 'A standard procedure of the operator may cover it.',
		source: 'S-41',
		place: 'SPO.SPEC.MCF.110',
	},
	{
		id: 'pilot',
		levels: onlyA,
		words:
			'The pilot in command has had a check-flight course, 1000 h on helicopters, 400 h in command of complex ones and 50 h on type, and has flown one of Level A within 36 months.',
		source: 'S-41',
		place: 'SPO.SPEC.MCF.115',
	},
	{
		id: 'task-specialist',
		levels: both,
		words:
			'An engineer aboard as task specialist helps to prepare, reads the card, watches and writes down, and has been trained in crew coordination and emergencies.',
		source: 'S-41',
		place: 'AMC and GM before SPO.SPEC.MCF.130',
	},
	{
		id: 'aboard',
		levels: onlyA,
		words: 'An engineer flies along only if the purpose asks for it and the flight programme names them.',
		source: 'S-41',
		place: 'SPO.SPEC.MCF.130',
	},
	{
		id: 'system-under-test',
		levels: both,
		words: 'The system under test is named as one not to be relied on, and what is done if it fails is agreed before.',
		source: 'S-41',
		place: 'SPO.SPEC.MCF.140',
	},
	{
		id: 'logged',
		levels: both,
		words:
			'Under 14 CFR, nobody but the crew is aboard until a rated pilot has flown and checked the work and logged the flight.',
		source: 'S-42',
		place: '91.407(b)',
	},
];

/** Crew rules of a level as facts with their source. Who may fly it is decided by the rule and the operator. @rule CRD-9 */
export function crewFacts(level: CheckLevel['level']): readonly CrewFact[] {
	return facts.filter(({ levels }) => levels.includes(level)).map(({ levels: _, ...fact }) => fact);
}
