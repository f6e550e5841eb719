import { cpus, loadavg } from 'node:os';

/**
 * Times of single frames are judged only where frames come: with more than one and a half tasks waiting for each core,
 * a page's own frames are late whatever the board does. Then the figure is printed and not judged.
 */
export function isMachineBusy(): boolean {
	return (loadavg()[0] ?? 0) / cpus().length > 1.5;
}
