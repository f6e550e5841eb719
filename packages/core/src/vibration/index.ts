export { resampleRevolution } from './angle-resample.js';
export { type BlockMean, blockMean, blockRevolutions, type Stretch } from './block-mean.js';
export {
	type ConfidenceEllipse,
	confidenceEllipse,
	type MeanAndCovariance,
	meanAndCovariance,
	type RegionProblem,
	tSquared,
	tSquaredLimit,
} from './confidence-region.js';
export { type NamedFrequency, namedPeaks, type SpectrumPeak } from './named-peaks.js';
export { type OrderTable, orderPhasors, orderTable } from './order-phasor.js';
export type { OrderReading, OrdersAnswer } from './orders-answer.js';
export { PulseDetector, type Samples } from './pulse-detector.js';
export { type JudgedPulses, judgePulses, type MarkSpan } from './pulse-judge.js';
export { reduceSignals } from './reduce-signals.js';
export { RevolutionSpread, reachOf } from './revolution-spread.js';
export { type ChainCorrection, type ChainStep, type ChannelFactor, channelFactor } from './sensor-chain.js';
export type {
	PulseColumn,
	PulseEdge,
	PulseTimes,
	RecordedQuantity,
	SignalChannel,
	SignalProblem,
	SignalSetup,
} from './setup.js';
export { SignalReducer } from './signal-reducer.js';
export {
	type FourierTransform,
	fourierTransform,
	type Spectrum,
	type SpectrumProblem,
	type SpectrumSettings,
	welchSpectrum,
} from './spectrum.js';
export { type AverageProblem, synchronousAverage } from './synchronous-average.js';
export { coherentGain, cosineSum, noiseBandwidthBins, type WindowName, windowOf } from './window.js';
