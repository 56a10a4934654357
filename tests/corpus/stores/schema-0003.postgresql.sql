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
    name text NOT NULL,
    seal character varying(64) DEFAULT ''::character varying NOT NULL
);
CREATE TABLE public.store (
    id character varying(32) NOT NULL,
    made_at character varying(32) NOT NULL
);
INSERT INTO public.alembic_version VALUES ('0003');
INSERT INTO public.entry VALUES (1, 'a-1', 'exposure', NULL, '2026-01-31T10:00:00Z', 'S1', NULL, '{"day":"2026-01-31","decided_by":"T1","decision":"rejected","faults":[{"fault":"overlap","size":0.4},{"fault":"cone-cut"}],"kind":"exposure","operator":"S1","rating":"uk-2020:N","supervisor":"T1","view":"right-molar"}', 'dd711c3d737738e9ec774a243e1b06173835483a3d3147115fa036981711238f');
INSERT INTO public.entry VALUES (2, 'a-2', 'exposure', NULL, '2026-01-31T10:00:00Z', 'S1', NULL, '{"changed":"tube back","day":"2026-01-31","kind":"retake","operator":"S1","retake_of":"a-1","supervisor":"T1","teeth":[16,46,47],"view":"right-molar"}', '776c25f367a50c37d235653238081e28f1b3b9740577e53e96b5149eadedf5bd');
INSERT INTO public.entry VALUES (3, 'b-1', 'exposure', NULL, '2026-01-31T10:00:00Z', 'S1', NULL, '{"case":"C7","contact_error_deg":-3.25,"day":"2026-01-31","decided_by":"T1","decision":"accepted","kind":"exposure","operator":"S1","room":"=R1","supervisor":"T1","view":"right-molar"}', '203c07f447f0cd9b301781a22950d225919a8b55dd89c8804f63fa71dd55e202');
INSERT INTO public.entry VALUES (4, 'b-2', 'exposure', NULL, '2026-01-31T10:00:00Z', 'S1', NULL, '{"day":"2026-01-31","kind":"extra-view","note":"''quoted'', -dashed; Größe","operator":"S1","supervisor":"T1","view":"periapical"}', '10016784db268c5eb86093a50baecf6e0ce19066604f6c533d9d7cd40cd52adb');
INSERT INTO public.entry VALUES (5, 'c-1', 'correction', 1, '2026-02-01T10:00:00Z', 'T1', 'said wrongly', '{"faults":[{"fault":"overlap","size":0.6}],"room":"R2"}', '99cf22ff0b0a76394d51c4a396aeab83a1ed1f8f561429925bc5e2c578a08641');
INSERT INTO public.entry VALUES (6, 'c-2', 'decision', 2, '2026-02-01T10:00:00Z', 'T1', NULL, '{"decided_by":"T2","decision":"accepted"}', '119db015614f267c1bd4bac69fae81b8ac2643ae59ba15ead919f7127e2592cc');
INSERT INTO public.entry VALUES (7, 'c-3', 'correction', 3, '2026-02-01T10:00:00Z', 'T1', 'said wrongly', '{"case":null}', '0bac3d4dbc2b97792888b7ecbd00ade04522a732dff6fcf042b0b9594bbe9952');
INSERT INTO public.entry VALUES (8, 'c-4', 'link', 3, '2026-02-01T10:00:00Z', 'T1', NULL, '{"film":"abababababababababababababababababababababababababababababababab"}', '9fab127c806013bd119229b2a8a3f25f4332a51f24dd645316e362ab43ff9334');
INSERT INTO public.person VALUES ('T1', 'Invented Teacher', '51f3337f6ba0a7f7e4c54d51585321eff0dd5a228b31825a9dd3668b987520ad');
INSERT INTO public.store VALUES ('ad842732bfae4b238fd8443710112eac', '2026-11-29 15:02:46');
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
