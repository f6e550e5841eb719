/** The three themes, chosen by hand: indoors and shade, direct sun, and night. */
export type ThemeName = 'day' | 'sun' | 'night';

/** Every colour the board may use, named by meaning. Values are sRGB hex. */
export interface ThemeTokens {
	readonly ground: string;
	readonly sheet: string;
	readonly ink: string;
	readonly soft: string;
	readonly rule: string;
	readonly key: string;
	readonly keyInk: string;
	readonly care: string;
	readonly careInk: string;
	readonly careLine: string;
	readonly stop: string;
	readonly stopInk: string;
	readonly stopLine: string;
	readonly penPilot: string;
	readonly penEngineer: string;
	readonly penSupport: string;
}

export const themeNames: readonly ThemeName[] = ['day', 'sun', 'night'];

export const themeTokens: Readonly<Record<ThemeName, ThemeTokens>> = {
	day: {
		ground: '#F4F2EB',
		sheet: '#FFFFFF',
		ink: '#16201F',
		soft: '#45504E',
		rule: '#6F7A77',
		key: '#16201F',
		keyInk: '#F4F2EB',
		care: '#F2B01E',
		careInk: '#16201F',
		careLine: '#744600',
		stop: '#A01810',
		stopInk: '#FFFFFF',
		stopLine: '#A01810',
		penPilot: '#1F71BC',
		penEngineer: '#47065C',
		penSupport: '#2A5745',
	},
	sun: {
		ground: '#FFFFFF',
		sheet: '#FFFFFF',
		ink: '#000000',
		soft: '#000000',
		rule: '#000000',
		key: '#000000',
		keyInk: '#FFFFFF',
		care: '#FFC233',
		careInk: '#000000',
		careLine: '#5C3800',
		stop: '#8C0000',
		stopInk: '#FFFFFF',
		stopLine: '#8C0000',
		penPilot: '#0B4FA3',
		penEngineer: '#3C0050',
		penSupport: '#1F4A3A',
	},
	night: {
		ground: '#0D0F0E',
		sheet: '#171A18',
		ink: '#D9CFBA',
		soft: '#B3A98F',
		rule: '#7D7767',
		key: '#3A3627',
		keyInk: '#D9CFBA',
		care: '#E0A83C',
		careInk: '#0D0F0E',
		careLine: '#E3B055',
		stop: '#9E2419',
		stopInk: '#FFF4E8',
		stopLine: '#F08C7E',
		penPilot: '#B1D6F6',
		penEngineer: '#B670D5',
		penSupport: '#4F9680',
	},
};

/** The theme whose inks are used on paper, whatever the screen shows. */
export const paperTheme: ThemeName = 'day';
