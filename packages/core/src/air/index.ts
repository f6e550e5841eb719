export { type Airspeed, impactPressurePa, trueAirspeed } from './airspeed.js';
export {
	airAt,
	densityAltitudeFt,
	hpaOfInHg,
	humidDensityAltitudeFt,
	ruleDensityAltitudeFt,
	scheduledHumidityPct,
	vapourHpa,
	virtualTemperatureK,
	weatherServiceDensityAltitudeFt,
} from './density-altitude.js';
export {
	pressureAltitudeFromQnhFt,
	pressureAltitudeFt,
	qnhFromStationHpa,
	stationHpaFromQnh,
} from './pressure-altitude.js';
export {
	type AirProblem,
	geometricOfM,
	geopotentialOfM,
	heightOfDensityM,
	heightOfPressureM,
	type StandardAir,
	standardAir,
} from './standard.js';
export { celsiusOf, differenceC, differenceF, fahrenheitOf, kelvinOf, mPerFt } from './units.js';
