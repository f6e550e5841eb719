import { paperTheme, type ThemeName, type ThemeTokens, themeNames, themeTokens } from './theme-tokens.js';

/** `penPilot` → `--pen-pilot`. */
export function propertyName(token: string): string {
	return `--${token.replace(/[A-Z]/g, (letter) => `-${letter.toLowerCase()}`)}`;
}

function declarations(tokens: ThemeTokens): string {
	return Object.entries(tokens)
		.map(([token, colour]) => `${propertyName(token)}: ${colour};`)
		.join(' ');
}

function schemeOf(theme: ThemeName): 'light' | 'dark' {
	return theme === 'night' ? 'dark' : 'light';
}

/** What the system's own colours stand for each token when the person forces colours. Form and word carry the rest. */
const forcedColours: ThemeTokens = {
	ground: 'Canvas',
	sheet: 'Canvas',
	ink: 'CanvasText',
	soft: 'CanvasText',
	rule: 'CanvasText',
	key: 'ButtonFace',
	keyInk: 'ButtonText',
	care: 'Canvas',
	careInk: 'CanvasText',
	careLine: 'CanvasText',
	stop: 'Canvas',
	stopInk: 'CanvasText',
	stopLine: 'CanvasText',
	penPilot: 'CanvasText',
	penEngineer: 'CanvasText',
	penSupport: 'CanvasText',
};

/**
 * The style sheet that turns the token table into custom properties.
 * `[data-theme]` may sit on any element, so one page can show several themes side by side.
 * Paper always takes the day inks on white.
 */
export function themeStyleSheet(): string {
	const screens = themeNames.map(
		(theme) => `[data-theme='${theme}'] { color-scheme: ${schemeOf(theme)}; ${declarations(themeTokens[theme])} }`,
	);
	const paper = { ...themeTokens[paperTheme], ground: '#FFFFFF', sheet: '#FFFFFF' };
	return [
		...screens,
		`@media (forced-colors: active) { [data-theme] { ${declarations(forcedColours)} } }`,
		`@media print { :root, [data-theme] { color-scheme: light; ${declarations(paper)} } }`,
	].join('\n');
}
