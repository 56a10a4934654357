CREATE FUNCTION public.entry_stays() RETURNS trigger
    LANGUAGE plpgsql
    AS $$
BEGIN RAISE EXCEPTION 'entries are appended, never changed or deleted'; END $$;
CREATE TABLE public.alembic_version (
    version_num character varying(32) NOT NULL
);
CREATE TABLE public.entry (
    number bigint NOT NULL,
    key character varying(64) NOT NULL,
    act character varying(16) NOT NULL,
    about bigint,
    written_at character varying(32) NOT NULL,
    written_by character varying(40),
    why text,
    body text NOT NULL,
    digest character varying(64) NOT NULL
);
CREATE TABLE public.person (
    code character varying(40) NOT NULL,
    name text NOT NULL
);
CREATE TABLE public.store (
    id character varying(32) NOT NULL,
    made_at character varying(32) NOT NULL
);
INSERT INTO public.alembic_version VALUES ('0002');
INSERT INTO public.entry VALUES (1, 'a-1', 'exposure', NULL, '2026-01-31T10:00:00Z', 'S1', NULL, '{"day":"2026-01-31","decided_by":"T1","decision":"rejected","faults":[{"fault":"overlap","size":0.4},{"fault":"cone-cut"}],"kind":"exposure","operator":"S1","rating":"uk-2020:N","supervisor":"T1","view":"right-molar"}', 'a9ad9d1aa7718a2a5fb2fd567285255e40ddedafc4f10a480eb51c279deda9f2');
INSERT INTO public.entry VALUES (2, 'a-2', 'exposure', NULL, '2026-01-31T10:00:00Z', 'S1', NULL, '{"changed":"tube back","day":"2026-01-31","kind":"retake","operator":"S1","retake_of":"a-1","supervisor":"T1","teeth":[16,46,47],"view":"right-molar"}', 'd83ac7eb6624d1042d654be8593134db5df303e29215f4439eb6b06a35bd9782');
INSERT INTO public.entry VALUES (3, 'b-1', 'exposure', NULL, '2026-01-31T10:00:00Z', 'S1', NULL, '{"case":"C7","contact_error_deg":-3.25,"day":"2026-01-31","decided_by":"T1","decision":"accepted","kind":"exposure","operator":"S1","room":"=R1","supervisor":"T1","view":"right-molar"}', 'fd6c5f0aad648887e42da233f6ef3d87e33bf124de4ce15f8ff9a4cb68b4ffbb');
INSERT INTO public.entry VALUES (4, 'b-2', 'exposure', NULL, '2026-01-31T10:00:00Z', 'S1', NULL, '{"day":"2026-01-31","kind":"extra-view","note":"''quoted'', -dashed; Größe","operator":"S1","supervisor":"T1","view":"periapical"}', '28ff4979ae3ad2451ae618b18b3ed1f8e40dbbacd11f249f2dd29beb0c2d17df');
INSERT INTO public.entry VALUES (5, 'c-1', 'correction', 1, '2026-02-01T10:00:00Z', 'T1', 'said wrongly', '{"faults":[{"fault":"overlap","size":0.6}],"room":"R2"}', '445cbcb5b899858705f0e5066050de74415855466e8d1880a4c88ef433c17adf');
INSERT INTO public.entry VALUES (6, 'c-2', 'decision', 2, '2026-02-01T10:00:00Z', 'T1', NULL, '{"decided_by":"T2","decision":"accepted"}', '1b393ee7533b706ad9680593c5aacf0a076ed328d18fff53bbe1f7d9f3196b97');
INSERT INTO public.entry VALUES (7, 'c-3', 'correction', 3, '2026-02-01T10:00:00Z', 'T1', 'said wrongly', '{"case":null}', '6ea3b7dad473733c44666f313ddb69b3581c7e0ccf31556b7775006b7a1a9e45');
INSERT INTO public.entry VALUES (8, 'c-4', 'link', 3, '2026-02-01T10:00:00Z', 'T1', NULL, '{"film":"abababababababababababababababababababababababababababababababab"}', '3590915fb8fce0d320ae270adc81e9a41f23529673c7edafc0b7d411a946b4ae');
INSERT INTO public.person VALUES ('T1', 'Invented Teacher');
INSERT INTO public.store VALUES ('0801f0cbb3ca45dca335b6a981933c18', '2026-11-25 15:22:18');
ALTER TABLE ONLY public.alembic_version
    ADD CONSTRAINT alembic_version_pkc PRIMARY KEY (version_num);
ALTER TABLE ONLY public.entry
    ADD CONSTRAINT entry_key_key UNIQUE (key);
ALTER TABLE ONLY public.entry
    ADD CONSTRAINT entry_pkey PRIMARY KEY (number);
ALTER TABLE ONLY public.person
    ADD CONSTRAINT person_pkey PRIMARY KEY (code);
ALTER TABLE ONLY public.store
    ADD CONSTRAINT store_pkey PRIMARY KEY (id);
CREATE INDEX ix_entry_about ON public.entry USING btree (about);
CREATE TRIGGER entry_stays BEFORE DELETE OR UPDATE OR TRUNCATE ON public.entry FOR EACH STATEMENT EXECUTE FUNCTION public.entry_stays();
ALTER TABLE ONLY public.entry
    ADD CONSTRAINT entry_about_fkey FOREIGN KEY (about) REFERENCES public.entry(number);
