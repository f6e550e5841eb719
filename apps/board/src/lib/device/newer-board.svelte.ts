import { createContext } from 'svelte';

/**
 * A newer board that was fetched waits until every page of this one is closed: nobody's page is ever loaded anew by it,
 * in flight or on the ground (docs/rules/board.md, BRD-4).
 */
export class NewerBoard {
	isWaiting: boolean = $state(false);

	/** Follows the registration of the page's service worker; without one there is nothing to follow. */
	async follow(container: ServiceWorkerContainer | undefined = navigator.serviceWorker): Promise<void> {
		const registration = await container?.ready;
		if (registration === undefined) return;
		this.#look(registration);
		registration.addEventListener('updatefound', () => {
			const coming = registration.installing;
			coming?.addEventListener('statechange', () => this.#look(registration));
		});
	}

	#look(registration: ServiceWorkerRegistration): void {
		this.isWaiting = registration.waiting !== null && registration.active !== null;
	}
}

export const [getNewerBoard, setNewerBoard] = createContext<NewerBoard>();
