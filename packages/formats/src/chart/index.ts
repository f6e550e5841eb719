export {
	type ChartDocument,
	chartSchema,
	type NestedNumbers,
	type PowerReading,
	powerReadingSchema,
	readChart,
	readPowerReading,
} from './read.js';
