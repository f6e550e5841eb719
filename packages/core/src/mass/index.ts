export {
	type Envelope,
	type EnvelopePoint,
	type FlightLoading,
	flightLoading,
	type PlacedLoading,
	placeIn,
} from './envelope.js';
export {
	type FuelBurn,
	type LoadItem,
	type Loading,
	type LoadingProblem,
	loadingAfter,
	loadingOf,
} from './loading.js';
