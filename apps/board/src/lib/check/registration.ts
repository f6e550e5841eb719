import { journey } from '$lib/words/journey.js';
import { typeData } from '$lib/words/type-data.js';

/** What a check is opened with: the sample, data that another person compared and that is in use, or a draft to try. */
export type DataKind = 'sample' | 'in-use' | 'trial';

/** ZZ- marks samples and trials, so that no invented or unchecked number ever goes under a real registration. */
export function registrationFault(registration: string, data: DataKind): string | null {
	const isTrialName = /^ZZ-[A-Z]{2,3}$/.test(registration);
	switch (data) {
		case 'sample':
			return isTrialName ? null : journey.newCheck.badRegistration;
		case 'trial':
			return isTrialName ? null : typeData.newCheck.needsZz;
		case 'in-use':
			if (registration.startsWith('ZZ-')) return typeData.newCheck.ownNotZz;
			return /^[A-Z0-9][A-Z0-9-]{1,9}$/.test(registration) ? null : typeData.newCheck.badRegistration;
	}
}
