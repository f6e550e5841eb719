/** How a person wants numbers written. Entry accepts both marks always. */
export type DecimalMark = '.' | ',';

/** Units a vibration level can be read and typed in; the record keeps ips. */
export type VibrationUnit = 'ips' | 'mm/s';

/** How this device writes numbers: one for the whole board, so that no view can differ from its neighbour. */
class Writing {
	mark: DecimalMark = $state('.');
	vibrationUnit: VibrationUnit = $state('ips');
}

export const writing: { mark: DecimalMark; vibrationUnit: VibrationUnit } = new Writing();
