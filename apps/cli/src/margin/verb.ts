import { fail, type Problem, type Result } from '@stillmast/core/result';
import { refusalOf } from '../document/fault.js';
import { isBlank, linesOf } from '../document/lines.js';
import { readFileBytes, readStreamBytes } from '../document/read-file.js';
import { type ExitStatus, exitStatus, type Io } from '../io.js';
import { onlyFile, readArgs, UsageError, type Verb } from '../verb.js';
import { answerTo, answerToLine, type Charts, chartFrom, type MarginAnswer } from './answer.js';
import { drawingOf } from './drawing.js';
import { marginForPeople } from './people.js';

const help = `usage: stillmast margin CHART... READING [--json] [--fail-outside]
       stillmast margin [CHART...] --ndjson [--fail-outside] < readings
       stillmast margin CHART --draw > chart.svg

Compares one power reading (stillmast/power-reading@1, the last file, - for standard input) with each chart
(stillmast/chart@1): limit, margin, its scatter and the chance that it is above zero. Nothing is read beyond a chart.

  --json          the answer as JSON (stillmast/margin@1) and nothing else; with several charts its first fields
                  are those of the governing one
  --ndjson        one reading a line from standard input, one answer a line, in order; without a CHART each
                  line is {"charts": [...], "reading": {...}}. A bad line is answered {"error": {...}}
  --draw          no reading: the chart as it was understood, as SVG to lay beside the paper
  --fail-outside  status 1 if the reading is outside its limit

Exit status: 0 answered, whatever the answer; 1 with --fail-outside; 2 wrong document or usage.
`;

const options = {
	json: { type: 'boolean' },
	ndjson: { type: 'boolean' },
	draw: { type: 'boolean' },
	'fail-outside': { type: 'boolean' },
} as const;

export const marginVerb: Verb = {
	name: 'margin',
	summary: 'power readings against the charts of a flight manual',
	help,
	run: async (args, io) => {
		const { values, positionals } = readArgs(args, options);
		if (values.draw === true) return drawOne(onlyFile(positionals, 'CHART'), io);
		const failOutside = values['fail-outside'] === true;
		const chartFiles = values.ndjson === true ? positionals : positionals.slice(0, -1);
		const readingFile = positionals.at(-1);
		if (values.ndjson !== true && (chartFiles.length === 0 || readingFile === undefined)) {
			throw new UsageError(`a CHART and a READING are needed, found ${positionals.length} files`);
		}
		const charts = await chartsFrom(chartFiles, io);
		if (!charts.ok) return refuse(charts.problem, charts.file, values.json === true, io);
		const [first, ...rest] = charts.value;
		if (values.ndjson === true) {
			return marginLines(
				first === undefined ? answerToLine : (bytes) => answerTo([first, ...rest], bytes),
				failOutside,
				io,
			);
		}
		if (first === undefined || readingFile === undefined) throw new UsageError('a CHART and a READING are needed');
		return marginOnce([first, ...rest], readingFile, { json: values.json === true, failOutside }, io);
	},
};

type ReadCharts =
	| { readonly ok: true; readonly value: readonly Charts[number][] }
	| { readonly ok: false; readonly problem: Problem; readonly file: string };

async function chartsFrom(files: readonly string[], io: Io): Promise<ReadCharts> {
	const charts: Charts[number][] = [];
	for (const file of files) {
		const bytes = await bytesOf(file, io);
		const chart = bytes.ok ? chartFrom(bytes.value) : bytes;
		if (!chart.ok) return { ok: false, problem: chart.problem, file };
		charts.push(chart.value);
	}
	return { ok: true, value: charts };
}

async function drawOne(file: string, io: Io): Promise<ExitStatus> {
	const charts = await chartsFrom([file], io);
	if (!charts.ok) return refuse(charts.problem, charts.file, false, io);
	await io.out(charts.value.map(drawingOf).join(''));
	return exitStatus.fine;
}

function bytesOf(file: string, io: Io): Promise<Result<Uint8Array>> {
	return file === '-' ? readStreamBytes(io.input) : readFileBytes(file);
}

async function refuse(problem: Problem, file: string, json: boolean, io: Io): Promise<ExitStatus> {
	const refusal = refusalOf(problem);
	if (json) await io.out(`${JSON.stringify({ error: refusal })}\n`);
	await io.err(`stillmast margin: ${file === '-' ? '' : `${file}: `}${refusal.words}\n`);
	return exitStatus.wrongInput;
}

async function marginOnce(
	charts: Charts,
	file: string,
	{ json, failOutside }: { readonly json: boolean; readonly failOutside: boolean },
	io: Io,
): Promise<ExitStatus> {
	const bytes = await bytesOf(file, io);
	const answer = bytes.ok ? answerTo(charts, bytes.value) : fail(bytes.problem);
	if (!answer.ok) return refuse(answer.problem, file, json, io);
	await io.out(json ? `${JSON.stringify(answer.value, null, 2)}\n` : marginForPeople(answer.value));
	return failOutside && answer.value.side === 'outside' ? exitStatus.notInOrder : exitStatus.fine;
}

async function marginLines(
	answerLine: (bytes: Uint8Array) => Result<MarginAnswer>,
	failOutside: boolean,
	io: Io,
): Promise<ExitStatus> {
	let outside = false;
	for await (const { number, bytes } of linesOf(io.input)) {
		if (bytes.ok && isBlank(bytes.value)) continue;
		const answer = bytes.ok ? answerLine(bytes.value) : bytes;
		outside ||= !answer.ok || answer.value.side === 'outside';
		const shown = answer.ok ? answer.value : { error: { ...refusalOf(answer.problem), line: number } };
		await io.out(`${JSON.stringify(shown)}\n`);
	}
	return failOutside && outside ? exitStatus.notInOrder : exitStatus.fine;
}
