/** Channel on which relays on one database tell each other of a write. */
export const CHANNEL = 'stillmast_write';

/**
 * Grows by adding a step; a step that has gone out is never edited. The tables are those of the embedded store.
 * `keep_write` is one round trip and one transaction: what it returns was read from rows that are committed with it.
 */
export const STEPS: readonly string[] = [
	`CREATE TABLE record (
		number bigserial PRIMARY KEY,
		id text NOT NULL UNIQUE,
		created_at_ms bigint NOT NULL
	);
	CREATE TABLE transport (
		number bigserial PRIMARY KEY,
		record text NOT NULL REFERENCES record (id),
		at_ms bigint NOT NULL,
		bytes bytea NOT NULL
	);
	CREATE INDEX transport_by_record ON transport (record, number);
	CREATE TABLE entry (
		record text NOT NULL REFERENCES record (id),
		hash text NOT NULL,
		chain text NOT NULL,
		seq bigint NOT NULL,
		prev text,
		whole boolean NOT NULL,
		transport bigint NOT NULL,
		number bigserial NOT NULL,
		json bytea NOT NULL,
		PRIMARY KEY (record, hash)
	);
	CREATE INDEX entry_by_chain ON entry (record, chain, seq);
	CREATE INDEX entry_by_transport ON entry (record, transport);
	CREATE TABLE head (
		record text NOT NULL,
		chain text NOT NULL,
		hash text NOT NULL,
		seq bigint NOT NULL,
		PRIMARY KEY (record, chain, hash)
	);
	CREATE TABLE person (
		record text NOT NULL REFERENCES record (id),
		key text NOT NULL,
		role text NOT NULL,
		name text NOT NULL,
		revoked boolean NOT NULL,
		number bigserial NOT NULL,
		PRIMARY KEY (record, key)
	);
	CREATE INDEX person_by_key ON person (key);
	CREATE TABLE blob (
		number bigserial NOT NULL,
		record text NOT NULL,
		hash text NOT NULL,
		bytes bytea NOT NULL,
		PRIMARY KEY (record, hash)
	);
	CREATE TABLE invite (
		number bigserial NOT NULL,
		digest text PRIMARY KEY,
		record text NOT NULL REFERENCES record (id),
		role text NOT NULL,
		created_at_ms bigint NOT NULL,
		expires_at_ms bigint NOT NULL,
		uses_left bigint NOT NULL,
		revoked boolean NOT NULL
	);
	CREATE TABLE host_key (
		id integer PRIMARY KEY CHECK (id = 1),
		public_key text NOT NULL,
		secret bytea NOT NULL
	);

	CREATE FUNCTION mark_whole(p_record text, p_chain text, p_hash text) RETURNS void AS $$
	DECLARE
		waiting text[] := ARRAY[p_hash];
		current text;
		e entry%ROWTYPE;
	BEGIN
		WHILE cardinality(waiting) > 0 LOOP
			current := waiting[1];
			waiting := waiting[2:];
			UPDATE entry SET whole = true WHERE record = p_record AND hash = current RETURNING * INTO e;
			DELETE FROM head WHERE record = p_record AND chain = p_chain AND hash = e.prev;
			INSERT INTO head (record, chain, hash, seq) VALUES (p_record, p_chain, e.hash, e.seq);
			waiting := waiting || ARRAY(
				SELECT n.hash FROM entry n WHERE n.record = p_record AND n.chain = p_chain
				AND n.seq = e.seq + 1 AND n.prev = e.hash AND NOT n.whole
			);
		END LOOP;
	END $$ LANGUAGE plpgsql;

	CREATE FUNCTION keep_write(
		p_from text, p_record text, p_at_ms bigint, p_update bytea,
		p_hashes text[], p_chains text[], p_seqs bigint[], p_prevs text[], p_jsons text[], p_people jsonb
	) RETURNS TABLE (head_chain text, head_seq bigint, head_hash text) AS $$
	DECLARE
		place bigint;
		added integer;
		follows boolean;
	BEGIN
		-- One writer of a record at a time: two that do not see each other's rows would both see a gap.
		PERFORM pg_advisory_xact_lock(hashtextextended(p_record, 0));
		INSERT INTO record (id, created_at_ms) VALUES (p_record, p_at_ms) ON CONFLICT DO NOTHING;
		INSERT INTO transport (record, at_ms, bytes) VALUES (p_record, p_at_ms, p_update) RETURNING number INTO place;
		FOR i IN 1 .. cardinality(p_hashes) LOOP
			INSERT INTO entry (record, hash, chain, seq, prev, whole, transport, json)
			VALUES (p_record, p_hashes[i], p_chains[i], p_seqs[i], p_prevs[i], false, place, decode(p_jsons[i], 'base64'))
			ON CONFLICT DO NOTHING;
			GET DIAGNOSTICS added = ROW_COUNT;
			CONTINUE WHEN added = 0;
			follows := CASE WHEN p_prevs[i] IS NULL THEN p_seqs[i] = 1 ELSE EXISTS (
				SELECT 1 FROM entry e WHERE e.record = p_record AND e.hash = p_prevs[i]
				AND e.chain = p_chains[i] AND e.seq = p_seqs[i] - 1 AND e.whole
			) END;
			IF follows THEN PERFORM mark_whole(p_record, p_chains[i], p_hashes[i]); END IF;
		END LOOP;
		INSERT INTO person (record, key, role, name, revoked)
		SELECT p_record, p ->> 'key', p ->> 'role', p ->> 'name', (p ->> 'revoked')::boolean
		FROM jsonb_array_elements(p_people) p
		ON CONFLICT (record, key) DO UPDATE
		SET role = excluded.role, name = excluded.name, revoked = excluded.revoked;
		-- A notification holds 8000 bytes at most: the number, never the bytes.
		PERFORM pg_notify('${CHANNEL}', json_build_object('from', p_from, 'record', p_record, 'place', place)::text);
		RETURN QUERY SELECT h.chain, h.seq, h.hash FROM head h
		WHERE h.record = p_record AND h.chain = ANY (p_chains)
		ORDER BY array_position(p_chains, h.chain), h.hash COLLATE "C";
	END $$ LANGUAGE plpgsql;`,
];
