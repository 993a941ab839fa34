-- What the service gathers from its record books. The books are the record; all of this can be gathered anew.
CREATE TABLE cuffnote.visit (
    visit uuid PRIMARY KEY,
    service text NOT NULL,
    book uuid NOT NULL,
    record text NOT NULL,
    opened_at timestamp with time zone NOT NULL,
    measured_on date NOT NULL,
    kind text NOT NULL,
    operator text NOT NULL,
    reason text NOT NULL,
    method text NOT NULL CHECK (method IN ('higher', 'lower', 'mean', 'pt-only', 'same-side-arm')),
    posture text NOT NULL CHECK (posture IN ('supine', 'head-raised', 'sitting', 'other')),
    rested_min integer CHECK (rested_min >= 0),
    diabetes text NOT NULL CHECK (diabetes IN ('yes', 'no', 'unknown')),
    kidney text NOT NULL CHECK (kidney IN ('yes', 'no', 'unknown')),
    gauge text NOT NULL,
    graduation_mmhg double precision,
    closed boolean NOT NULL,
    complete boolean NOT NULL,
    both_indexes boolean NOT NULL,
    amendments integer NOT NULL,
    disagreements integer NOT NULL,
    set_aside integer NOT NULL,
    red_flags text,
    program text NOT NULL,
    listener text,
    events integer NOT NULL CHECK (events > 0)
);
CREATE TABLE cuffnote.leg (
    visit uuid NOT NULL REFERENCES cuffnote.visit ON DELETE CASCADE,
    side text NOT NULL CHECK (side IN ('right', 'left')),
    abi double precision CHECK (abi >= 0),
    abi_low double precision,
    abi_high double precision,
    abi_above double precision,
    provisional boolean NOT NULL,
    ankle_mmhg double precision,
    ankle_site text,
    arm_mmhg double precision,
    arm_site text,
    toe_mmhg double precision,
    tbi double precision,
    abi_after double precision,
    abi_fall_percent double precision,
    PRIMARY KEY (visit, side),
    CHECK (abi IS NULL OR abi_above IS NULL)
);
CREATE TABLE cuffnote.attempt (
    visit uuid NOT NULL REFERENCES cuffnote.visit ON DELETE CASCADE,
    attempt integer NOT NULL,
    site text NOT NULL,
    side text NOT NULL CHECK (side IN ('right', 'left')),
    artery text NOT NULL,
    phase text NOT NULL CHECK (phase IN ('rest', 'after-exercise')),
    repeat integer NOT NULL CHECK (repeat > 0),
    operator text NOT NULL,
    outcome text NOT NULL
        CHECK (outcome IN ('reading', 'not-compressible', 'no-signal', 'not-measured', 'unfinished')),
    cuff_mmhg double precision CHECK (cuff_mmhg > 0 AND cuff_mmhg <= 300),
    limit_mmhg double precision,
    why_not text,
    source text CHECK (source IN ('ear-and-gauge', 'entered', 'paper')),
    counts boolean NOT NULL,
    left_out text,
    withdrawn boolean NOT NULL,
    gauge text NOT NULL,
    graduation_mmhg double precision,
    waveform text,
    ended_at timestamp with time zone,
    site_mmhg double precision,
    site_outcome text NOT NULL,
    tap_s double precision,
    pulse_lost_s double precision,
    first_pulse_s double precision,
    tap_after_first_pulse_s double precision,
    deflation_mmhg_per_s double precision,
    confidence double precision,
    heart_rate_bpm double precision,
    irregular boolean,
    hard_to_hear text,
    PRIMARY KEY (visit, attempt),
    CHECK ((outcome = 'reading') = (cuff_mmhg IS NOT NULL))
);
CREATE TABLE cuffnote.amendment (
    visit uuid NOT NULL REFERENCES cuffnote.visit ON DELETE CASCADE,
    number integer NOT NULL,
    at timestamp with time zone NOT NULL,
    of_event integer NOT NULL,
    what text NOT NULL,
    old jsonb NOT NULL,
    new jsonb NOT NULL,
    who text NOT NULL,
    why text NOT NULL,
    PRIMARY KEY (visit, number)
);
CREATE TABLE cuffnote.chain (
    book uuid NOT NULL,
    chain uuid NOT NULL,
    service text NOT NULL,
    entries bigint NOT NULL,
    head text NOT NULL CHECK (head ~ '^[0-9a-f]{64}$'),
    gathered_at timestamp with time zone NOT NULL DEFAULT now(),
    PRIMARY KEY (book, chain)
);
CREATE INDEX visit_by_record ON cuffnote.visit (record, opened_at);
CREATE INDEX visit_by_service ON cuffnote.visit (service, measured_on);
COMMENT ON TABLE cuffnote.visit IS 'A row a visit, as its record book works it out.';
COMMENT ON TABLE cuffnote.leg IS 'A row a leg: two for each visit.';
COMMENT ON TABLE cuffnote.attempt IS 'A row an attempt, those that do not count included.';
COMMENT ON TABLE cuffnote.amendment IS 'What was corrected, by whom and why; old and new as the acts of the visit.';
COMMENT ON COLUMN cuffnote.amendment.number IS 'The how-manieth correction of the visit, from 1.';
COMMENT ON COLUMN cuffnote.amendment.of_event IS 'The number of the event that is replaced.';
COMMENT ON COLUMN cuffnote.amendment.what IS 'The kind of act that is replaced.';
COMMENT ON TABLE cuffnote.chain IS 'How far each hash chain of each book was gathered, and its head there.';
