import { type Chart, type ChartSheet, chartSheets } from '@stillmast/core/power';

const [width, height, border] = [480, 320, 60];

/** A chart as it was understood, as SVG to lay beside the paper: one frame for each sheet, each line with its family. */
export function drawingOf(chart: Chart): string {
	const sheets = chartSheets(chart);
	const frames = sheets.map((sheet, at) => `<g transform="translate(0 ${at * height})">${frame(sheet)}</g>`);
	const size = `width="${width}" height="${height * sheets.length}"`;
	return `<svg xmlns="http://www.w3.org/2000/svg" ${size} font-family="sans-serif" font-size="11">\n${frames.join('\n')}\n</svg>\n`;
}

function frame({ x, y, family, fixed, lines }: ChartSheet): string {
	const points = lines.flatMap((line) => line.points);
	const across = scale(
		points.map(([at]) => at),
		border,
		width - border,
	);
	const up = scale(
		points.map(([, value]) => value),
		height - border,
		border / 2,
	);
	const drawn = lines.map((line) => {
		const path = line.points.map(([at, value]) => `${across(at).toFixed(1)},${up(value).toFixed(1)}`).join(' ');
		const [endX, endY] = line.points.at(-1) ?? [0, 0];
		const name = line.family === null ? '' : `<text x="${across(endX) + 4}" y="${up(endY) + 4}">${line.family}</text>`;
		return `<polyline points="${path}" fill="none" stroke="black"/>${name}`;
	});
	const held = Object.entries(fixed).map(([id, value]) => `${id} ${value}`);
	const title = [`${y} over ${x}`, ...(family === null ? [] : [`lines: ${family}`]), ...held].join(', ');
	const ends = (values: readonly number[]): readonly [number, number] => [Math.min(...values), Math.max(...values)];
	const [left, right] = ends(points.map(([at]) => at));
	const [low, high] = ends(points.map(([, value]) => value));
	const label = (at: number, from: number, text: number): string => `<text x="${at}" y="${from}">${text}</text>`;
	return [
		`<text x="${border}" y="14">${title}</text>`,
		...drawn,
		label(across(left), height - border / 2, left),
		label(across(right), height - border / 2, right),
		label(4, up(low), low),
		label(4, up(high), high),
	].join('');
}

function scale(values: readonly number[], from: number, to: number): (value: number) => number {
	const [least, most] = [Math.min(...values), Math.max(...values)];
	return (value) => from + ((value - least) / (most - least || 1)) * (to - from);
}
