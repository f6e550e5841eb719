import { randomBytes } from 'node:crypto';
import { openKey, softwareKey } from '@stillmast/record/pen';
import { type FeedLink, joinByInvite, openFeed } from '@stillmast/relay/feed';

const everyMs = 50;

/** A source of live gauges in the hand of a test: 20 moments a second with the values set last. */
export class GaugeSource {
	values: Readonly<Record<string, number>>;
	#link: FeedLink;
	#timeS = 0;
	#timer: NodeJS.Timeout | null = null;

	private constructor(link: FeedLink, values: Readonly<Record<string, number>>) {
		this.#link = link;
		this.values = values;
		this.goOn();
	}

	static async open(
		invite: string,
		registration: string,
		values: Readonly<Record<string, number>>,
	): Promise<GaugeSource> {
		const { origin, hash } = new URL(invite);
		const key = openKey(softwareKey(new Uint8Array(randomBytes(32))));
		const joined = await joinByInvite(origin, hash.slice(1), key, 'bench');
		if (!joined.ok) throw new Error(joined.problem.code);
		const channels = Object.keys(values).map((id) => ({ id, unit: '' }));
		const link = await openFeed(
			{ url: origin, record: joined.value.record, key },
			{ format: 'stillmast/feed@1', source: 'bench', registration, channels },
		);
		if (!link.ok) throw new Error(link.problem.code);
		return new GaugeSource(link.value, values);
	}

	/** Says nothing any more, with its connection open. */
	stall(): void {
		if (this.#timer !== null) clearInterval(this.#timer);
		this.#timer = null;
	}

	/** @param afterS by which its own time has jumped ahead */
	goOn(afterS = 0): void {
		this.stall();
		this.#timeS += afterS;
		this.#timer = setInterval(() => {
			this.#timeS += everyMs / 1000;
			void this.#link.send({ timeS: this.#timeS, values: this.values });
		}, everyMs);
	}

	/** @returns rows that the host has recorded */
	async finish(): Promise<number> {
		this.stall();
		const recorded = await this.#link.finish();
		if (!recorded.ok) throw new Error(recorded.problem.code);
		return recorded.value.rows;
	}
}
