export {
	convertVibration,
	mmPerInch,
	mmPerS2PerG,
	orderHz,
	quantityOf,
	type Reckoning,
	type VibrationQuantity,
	type VibrationScale,
	type VibrationUnit,
} from './vibration.js';
