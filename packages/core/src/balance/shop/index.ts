export { balancingMass, combineMasses } from './combine.js';
export { leastSquaresCorrection, type ManyPlaneCorrection } from './many-planes.js';
export {
	type AngleSense,
	atRadius,
	believableScatters,
	farBeyondTrialRatio,
	type ShopCaution,
	type ShopMass,
	type ShopReading,
} from './quantities.js';
export {
	journalResidualOzIn,
	navyResidualOzIn,
	type PermissibleUnbalance,
	permissibleUnbalance,
	qualityGradesMmPerS,
	type UnbalanceProblem,
	unbalanceForceN,
} from './residual-unbalance.js';
export {
	predictedReading,
	type SinglePlaneCorrection,
	type SinglePlaneTrial,
	singlePlaneFromTrial,
	type TrialProblem,
} from './single-plane.js';
export { type Split, type SplitProblem, splitBetweenTwo } from './split.js';
export {
	type BearingPair,
	balanceKnownMasses,
	influenceOf,
	type PlacedMass,
	type TwoPlaneCorrection,
	type TwoPlaneInfluence,
	type TwoPlaneProblem,
	twoPlaneCorrection,
	twoPlaneInfluence,
} from './two-plane.js';
export {
	type AmplitudeTrial,
	correctionWithoutPhase,
	type MirrorCandidates,
	mirrorCandidates,
	type NoPhaseCorrection,
	type NoPhaseProblem,
	type NoPhaseTrials,
	type OppositeTrials,
} from './without-phase.js';
