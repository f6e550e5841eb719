import type { LearnedKind, Proposal, Proposals, RotorProblem } from '@stillmast/core/balance';
import { cautions } from '../print/cautions.js';
import { atLeast, atMost, chance, degrees, ipsDecimals, rounded, signedDegrees } from '../print/figures.js';
import { table } from '../print/table.js';
import { auditForPeople } from './people-audit.js';

/**
 * The answer as a workshop reads it: where the rotor stands, what to change, what that will do and how sure it is.
 * @param all every proposal with its predicted readings, not only the recommended one
 */
export function proposalsForPeople(problem: RotorProblem, proposals: Proposals, all = false): string {
	const decimals = ipsDecimals(Math.min(...problem.channels.map((channel) => channel.goalIps ?? channel.limitIps)));
	const sections = [
		heading(problem, proposals),
		readings(problem, proposals, decimals),
		proposals.inspect.length === 0
			? ''
			: section(
					'Inspect before the next flight',
					proposals.inspect.map((flag) => `  ! ${flag.words}`),
				),
		auditForPeople(proposals.audit),
		...choices(problem, proposals, decimals, all),
		proposals.trial === null ? '' : section('No run yet: fly a trial first', [`  ${proposals.trial.words}`]),
		learned(proposals.learned),
		unreachable(proposals, decimals),
		section(
			'Cannot be reached in every direction',
			proposals.lineOnly.map((line) => `  ${line.words}`),
		),
		section(
			'Given but not used',
			proposals.unused.map(({ path, code }) => `  ${path}: ${unusedWords[code]}`),
		),
		cautions.trimEnd(),
	];
	return `${sections.filter((text) => text !== '').join('\n\n')}\n`;
}

const unusedWords: Readonly<Record<Proposals['unused'][number]['code'], string>> = {
	'no-phase': 'no phase, so it counts by its size only',
	excluded: 'left out as asked',
	'no-reading': 'no reading',
	'no-coefficient': 'no coefficient',
	'phase-below-noise': 'too small for its phase to mean anything',
};

function section(title: string, lines: readonly string[]): string {
	return lines.length === 0 ? '' : `${title}\n${lines.join('\n')}`;
}

function count(number: number, one: string): string {
	return `${number} ${one}${number === 1 ? '' : 's'}`;
}

function heading({ rotor, runs = [] }: RotorProblem, { state }: Proposals): string {
	const title = `Rotor ${rotor.id}, ${rounded(rotor.rpm, 0)} rpm, ${count(runs.length, 'run')}`;
	if (state.run === null || state.worstRatioToLimit === null) return title;
	const ratio = `worst reading ${rounded(state.worstRatioToLimit, 2)} of its limit`;
	const unread = state.unread.length === 0 ? '' : `; not read: ${state.unread.join(', ')}`;
	const verdict =
		state.withinLimit !== true
			? 'OUTSIDE LIMITS'
			: state.unread.length > 0
				? 'inside limits where it was read'
				: state.withinGoal === true
					? 'inside limits and goal'
					: 'inside limits, not yet inside the goal';
	return `${title}\nAfter run ${state.run}: ${verdict} (${ratio}${unread})`;
}

function readings({ channels, runs = [] }: RotorProblem, { state }: Proposals, decimals: number): string {
	const run = runs.find((one) => one.id === state.run);
	if (run === undefined) return '';
	const rows = channels.map((channel) => {
		const reading = run.readings[channel.id];
		const goal = channel.goalIps === undefined ? '' : `goal ${rounded(channel.goalIps, decimals)}`;
		const limit = `limit ${rounded(channel.limitIps, decimals)}`;
		if (reading === undefined) return [channel.id, 'not read', '', limit, goal, ''];
		const phase = reading.phaseDeg === null || reading.phaseDeg === undefined ? 'no phase' : degrees(reading.phaseDeg);
		const mark = reading.amplitudeIps > channel.limitIps ? 'outside' : '';
		return [channel.id, `${rounded(reading.amplitudeIps, decimals)} ips`, phase, limit, goal, mark];
	});
	return `Readings\n${table(rows, [1, 2])}`;
}

function choices(
	problem: RotorProblem,
	{ proposals, recommended }: Proposals,
	decimals: number,
	all: boolean,
): readonly string[] {
	const best = recommended === null ? undefined : proposals[recommended];
	const others = proposals.filter((proposal) => proposal !== best);
	return [
		best === undefined ? '' : proposalText(problem, best, `Recommended: ${changesTitle(best)}`, decimals),
		...(all
			? others.map((proposal) => proposalText(problem, proposal, `Instead: ${changesTitle(proposal)}`, decimals))
			: [section('Instead (--all shows their readings)', others.flatMap(briefly))]),
	];
}

function changesTitle({ touches }: Proposal): string {
	return touches === 0 ? 'change nothing' : count(touches, 'change');
}

function chances({ chanceAllWithinLimit, chanceAllWithinGoal }: Proposal): string {
	return `all inside limit: ${chance(chanceAllWithinLimit)}, all inside goal: ${chance(chanceAllWithinGoal)}`;
}

function briefly(proposal: Proposal): readonly string[] {
	return [
		`  ${changesTitle(proposal)}, ${chances(proposal)}`,
		...proposal.changes.map((change) => `      ${change.words}`),
	];
}

function proposalText(problem: RotorProblem, proposal: Proposal, title: string, decimals: number): string {
	const lines = [
		title,
		...proposal.changes.flatMap((change) => [
			`  → ${change.words}`,
			...(change.inspection === undefined ? [] : [`      needs: ${change.inspection}`]),
		]),
		`    ${chances(proposal)}`,
		predicted(problem, proposal, decimals),
		...notes(problem, proposal),
	];
	return lines.join('\n');
}

function predicted(problem: RotorProblem, proposal: Proposal, decimals: number): string {
	const rows = problem.channels.flatMap(({ id, limitIps }) => {
		const reading = proposal.predicted[id];
		if (reading === undefined) return [];
		return [
			[
				id,
				`${rounded(reading.amplitudeIps, decimals)} ips`,
				degrees(reading.phaseDeg),
				`at most ${atMost(reading.high95Ips, decimals)}`,
				`(95 %: ${atLeast(reading.low95Ips, decimals)} to ${atMost(reading.high95Ips, decimals)})`,
				`inside ${rounded(limitIps, decimals)}: ${chance(reading.chanceWithinLimit)}`,
			],
		];
	});
	return table(rows, [1, 2], '    ');
}

function notes(problem: RotorProblem, proposal: Proposal): readonly string[] {
	const means = Object.entries(proposal.meanChange).map(([kind, mean]) => {
		const unit = problem.adjusters.find((adjuster) => adjuster.kind === kind)?.unit ?? '';
		return `${kind} ${mean > 0 ? '+' : '−'}${rounded(Math.abs(mean), 2)} ${unit}`.trimEnd();
	});
	return [
		...(means.length === 0 ? [] : [`    mean change over the blades: ${means.join(', ')}`]),
		...(proposal.rotorRpmPct === null || Math.abs(proposal.rotorRpmPct) < 0.05
			? []
			: [`    rotor speed in autorotation shifts by ${rounded(proposal.rotorRpmPct, 1)} %`]),
		...(proposal.makesStale.length === 0 ? [] : [`    to be measured again: ${proposal.makesStale.join(', ')}`]),
		...(proposal.buildUp.length === 0
			? []
			: [`    ! could reach the stop value: ${proposal.buildUp.join(', ')}. Build up in steps or change less.`]),
		...(proposal.track === undefined
			? []
			: Object.entries(proposal.track).map(([regime, { spreadMm, high95Mm, limitMm }]) => {
					const limit = limitMm === null ? 'no limit given' : `limit ${rounded(limitMm, 0)} mm`;
					return `    track ${regime}: spread ${rounded(spreadMm, 0)} mm, at most ${rounded(high95Mm, 0)} mm (${limit})`;
				})),
		...(proposal.proved ? [] : ['    the search was cut short: a better set for this many changes may exist']),
		...(proposal.disputed
			? ['    ! the likeliest explanations of the last reading ask for different changes: settle that first']
			: []),
	];
}

function learned(kinds: readonly LearnedKind[]): string {
	if (kinds.length === 0) return '';
	const rows = kinds.map(({ kind, gain, gain95, phaseErrorDeg, phaseError95 }) => [
		kind,
		`gain ${rounded(gain, 2)} of the table (95 %: ${atLeast(gain95[0], 2)} to ${atMost(gain95[1], 2)})`,
		`phase ${signedDegrees(phaseErrorDeg)} (95 %: ${signedDegrees(phaseError95[0])} to ${signedDegrees(phaseError95[1])})`,
	]);
	return `Learned of this aircraft\n${table(rows)}`;
}

function unreachable({ unreachable: parts }: Proposals, decimals: number): string {
	const rows = Object.entries(parts).map(([channel, part]) => [
		channel,
		`${rounded(part.amplitudeIps, decimals)} ips`,
		`at most ${atMost(part.high95Ips, decimals)}`,
	]);
	return rows.length === 0 ? '' : `Part that no allowed change removes\n${table(rows, [1])}`;
}
