export {
	type ConfidenceEllipse,
	confidenceEllipse,
	type MeanAndCovariance,
	meanAndCovariance,
	type RegionProblem,
	tSquared,
	tSquaredLimit,
} from './confidence-region.js';
