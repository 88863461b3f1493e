"""The first tables: companies and their people, jobs, the work on them, and the sync's memory.

Three things hold from here on, for every table there will ever be.

*  Every table carries its company, and row-level security shows a connection the rows
   of one company only: the one that the transaction has named in `app.company`. A
   transaction that names none sees nothing. The wall is forced, so it holds for the
   owner of the tables too.

*  The server connects as `flarenut_app`. That role owns nothing, cannot step around the
   wall, and may do to each table only what the product does: receipts and readings are
   written once, and nothing but an upload that ended is ever deleted.

*  Before it is known who is asking, no company can be named. Five look-ups answer then:
   who has this e-mail address, whose is this token, where does this link lead. They run
   as `flarenut_door`, which nobody can sign in as and which may read just those columns.
   A sixth lists the companies for work that is done on all of them; only the owner may ask it.

The roles belong to the whole database server and not to this one database, so the way
back leaves them where they are.
"""

from alembic import op

revision = "0001"
down_revision = None

# The wall, and who stands behind it. `epoch` changes when the database is restored from a backup.
PEOPLE = """
CREATE TABLE company (
    id uuid CONSTRAINT pk_company PRIMARY KEY,
    name varchar(120) NOT NULL,
    epoch uuid NOT NULL DEFAULT gen_random_uuid(),
    people_rev bigint NOT NULL DEFAULT 0,
    created_at timestamptz NOT NULL DEFAULT now()
);

CREATE TABLE person (
    id uuid CONSTRAINT pk_person PRIMARY KEY,
    company_id uuid NOT NULL CONSTRAINT fk_person_company_id_company REFERENCES company,
    email varchar(254) NOT NULL,
    name varchar(120) NOT NULL,
    role varchar(20) NOT NULL,
    password_hash varchar(200) NOT NULL,
    created_at timestamptz NOT NULL DEFAULT now(),
    ended_at timestamptz,
    CONSTRAINT uq_person_email UNIQUE (email)
);
CREATE INDEX ix_person_company_id ON person (company_id);
"""

# A job and what stands on its site, as the as-built sheet and the limits sheet tell it.
JOBS = """
CREATE TABLE job (
    id uuid CONSTRAINT pk_job PRIMARY KEY,
    company_id uuid NOT NULL CONSTRAINT fk_job_company_id_company REFERENCES company,
    rev bigint NOT NULL,
    name text NOT NULL,
    address text NOT NULL,
    contractor_firm text NOT NULL,
    time_zone text NOT NULL,
    shift_start text NOT NULL,
    shift_end text NOT NULL,
    shift_days jsonb NOT NULL,
    state text NOT NULL,
    invented boolean NOT NULL,
    created_at timestamptz NOT NULL,
    field_revs jsonb NOT NULL,
    two_values jsonb NOT NULL,
    unknown_fields json,
    CONSTRAINT ck_job_state CHECK (state IN ('open', 'finished'))
);
CREATE INDEX ix_job_company_id ON job (company_id);

CREATE TABLE system (
    id uuid CONSTRAINT pk_system PRIMARY KEY,
    company_id uuid NOT NULL CONSTRAINT fk_system_company_id_company REFERENCES company,
    job_id uuid NOT NULL CONSTRAINT fk_system_job_id_job REFERENCES job,
    rev bigint NOT NULL,
    tag text NOT NULL,
    kind text NOT NULL,
    refrigerant text NOT NULL,
    nominal_v double precision,
    supply_tolerance_pct double precision,
    unbalance_limit_pct double precision,
    unknown_fields json,
    CONSTRAINT ck_system_kind CHECK (kind IN ('heat_recovery', 'heat_pump')),
    CONSTRAINT uq_system_job_id_tag UNIQUE (job_id, tag)
);
CREATE INDEX ix_system_company_id ON system (company_id);
CREATE INDEX ix_system_job_id_rev_id ON system (job_id, rev, id);

CREATE TABLE unit (
    id uuid CONSTRAINT pk_unit PRIMARY KEY,
    company_id uuid NOT NULL CONSTRAINT fk_unit_company_id_company REFERENCES company,
    job_id uuid NOT NULL CONSTRAINT fk_unit_job_id_job REFERENCES job,
    rev bigint NOT NULL,
    system_id uuid CONSTRAINT fk_unit_system_id_system REFERENCES system,
    kind text NOT NULL,
    tag text NOT NULL,
    floor text NOT NULL,
    floor_order integer NOT NULL,
    place text NOT NULL,
    room text NOT NULL,
    room_m3 double precision,
    parent_id uuid CONSTRAINT fk_unit_parent_id_unit REFERENCES unit,
    port integer,
    port_count integer,
    group_address text NOT NULL,
    central_address text NOT NULL,
    feeder text NOT NULL,
    line_size text,
    line_length_m double precision,
    model_note text NOT NULL,
    field_revs jsonb NOT NULL DEFAULT '{}',
    two_values jsonb NOT NULL DEFAULT '{}',
    unknown_fields json,
    CONSTRAINT ck_unit_kind CHECK (
        kind IN ('outdoor_module', 'branch_box', 'joint', 'indoor_unit',
            'wall_controller', 'central_controller')),
    CONSTRAINT uq_unit_job_id_tag UNIQUE (job_id, tag)
);
CREATE INDEX ix_unit_company_id ON unit (company_id);
CREATE INDEX ix_unit_job_id_rev_id ON unit (job_id, rev, id);

CREATE TABLE "limit" (
    id uuid CONSTRAINT pk_limit PRIMARY KEY,
    company_id uuid NOT NULL CONSTRAINT fk_limit_company_id_company REFERENCES company,
    job_id uuid NOT NULL CONSTRAINT fk_limit_job_id_job REFERENCES job,
    rev bigint NOT NULL,
    name text NOT NULL,
    value double precision NOT NULL,
    unit text NOT NULL,
    source text NOT NULL,
    mark text NOT NULL,
    CONSTRAINT ck_limit_mark CHECK (mark IN ('S', 'L', 'H', 'P', 'M')),
    CONSTRAINT uq_limit_job_id_name UNIQUE (job_id, name)
);
CREATE INDEX ix_limit_company_id ON "limit" (company_id);
CREATE INDEX ix_limit_job_id_rev_id ON "limit" (job_id, rev, id);
"""

# How people and contractors come in. Tokens and secrets are kept as sha256 only.
DOORS = """
CREATE TABLE contractor_link (
    id uuid CONSTRAINT pk_contractor_link PRIMARY KEY,
    company_id uuid NOT NULL CONSTRAINT fk_contractor_link_company_id_company REFERENCES company,
    job_id uuid NOT NULL CONSTRAINT fk_contractor_link_job_id_job REFERENCES job,
    firm varchar(120) NOT NULL,
    recipient varchar(120) NOT NULL,
    secret_hash varchar(64) NOT NULL,
    created_at timestamptz NOT NULL DEFAULT now(),
    created_by_person_id uuid NOT NULL CONSTRAINT fk_contractor_link_created_by_person_id_person
        REFERENCES person,
    expires_at timestamptz NOT NULL,
    revoked_at timestamptz,
    last_opened_at timestamptz,
    CONSTRAINT uq_contractor_link_secret_hash UNIQUE (secret_hash)
);
CREATE INDEX ix_contractor_link_company_id ON contractor_link (company_id);
CREATE INDEX ix_contractor_link_job_id ON contractor_link (job_id);

CREATE TABLE device (
    id uuid CONSTRAINT pk_device PRIMARY KEY,
    company_id uuid NOT NULL CONSTRAINT fk_device_company_id_company REFERENCES company,
    name varchar(120) NOT NULL,
    person_id uuid CONSTRAINT fk_device_person_id_person REFERENCES person,
    link_id uuid CONSTRAINT fk_device_link_id_contractor_link REFERENCES contractor_link,
    created_at timestamptz NOT NULL DEFAULT now()
);
CREATE INDEX ix_device_company_id ON device (company_id);
CREATE INDEX ix_device_link_id ON device (link_id);
CREATE INDEX ix_device_person_id ON device (person_id);

CREATE TABLE device_session (
    id uuid CONSTRAINT pk_device_session PRIMARY KEY,
    company_id uuid NOT NULL CONSTRAINT fk_device_session_company_id_company REFERENCES company,
    device_id uuid NOT NULL CONSTRAINT fk_device_session_device_id_device REFERENCES device,
    person_id uuid NOT NULL CONSTRAINT fk_device_session_person_id_person REFERENCES person,
    token_hash varchar(64) NOT NULL,
    previous_hash varchar(64),
    previous_until timestamptz,
    created_at timestamptz NOT NULL DEFAULT now(),
    rotated_at timestamptz NOT NULL DEFAULT now(),
    seen_at timestamptz NOT NULL DEFAULT now(),
    ended_at timestamptz,
    CONSTRAINT uq_device_session_previous_hash UNIQUE (previous_hash),
    CONSTRAINT uq_device_session_token_hash UNIQUE (token_hash)
);
CREATE INDEX ix_device_session_company_id ON device_session (company_id);
CREATE INDEX ix_device_session_device_id ON device_session (device_id);
CREATE INDEX ix_device_session_person_id ON device_session (person_id);

CREATE TABLE link_session (
    id uuid CONSTRAINT pk_link_session PRIMARY KEY,
    company_id uuid NOT NULL CONSTRAINT fk_link_session_company_id_company REFERENCES company,
    link_id uuid NOT NULL CONSTRAINT fk_link_session_link_id_contractor_link REFERENCES contractor_link,
    device_id uuid NOT NULL CONSTRAINT fk_link_session_device_id_device REFERENCES device,
    token_hash varchar(64) NOT NULL,
    created_at timestamptz NOT NULL DEFAULT now(),
    expires_at timestamptz NOT NULL,
    CONSTRAINT uq_link_session_token_hash UNIQUE (token_hash)
);
CREATE INDEX ix_link_session_company_id ON link_session (company_id);
CREATE INDEX ix_link_session_device_id ON link_session (device_id);
CREATE INDEX ix_link_session_link_id ON link_session (link_id);
"""

# What is planned, done, found, measured and photographed.
WORK = """
CREATE TABLE visit (
    id uuid CONSTRAINT pk_visit PRIMARY KEY,
    company_id uuid NOT NULL CONSTRAINT fk_visit_company_id_company REFERENCES company,
    job_id uuid NOT NULL CONSTRAINT fk_visit_job_id_job REFERENCES job,
    rev bigint NOT NULL,
    purpose text NOT NULL,
    state text NOT NULL,
    starts_at timestamptz NOT NULL,
    planned_s integer NOT NULL,
    person_id uuid NOT NULL CONSTRAINT fk_visit_person_id_person REFERENCES person,
    person_name text NOT NULL,
    note text NOT NULL,
    summary jsonb,
    closed_at timestamptz,
    field_revs jsonb NOT NULL DEFAULT '{}',
    two_values jsonb NOT NULL DEFAULT '{}',
    unknown_fields json,
    CONSTRAINT ck_visit_purpose CHECK (purpose IN ('part_one', 'part_two', 'follow_up')),
    CONSTRAINT ck_visit_state CHECK (state IN ('planned', 'on_site', 'closed', 'cancelled'))
);
CREATE INDEX ix_visit_company_id ON visit (company_id);
CREATE INDEX ix_visit_job_id_rev_id ON visit (job_id, rev, id);
CREATE INDEX ix_visit_person_id ON visit (person_id);

CREATE TABLE step (
    id uuid CONSTRAINT pk_step PRIMARY KEY,
    company_id uuid NOT NULL CONSTRAINT fk_step_company_id_company REFERENCES company,
    job_id uuid NOT NULL CONSTRAINT fk_step_job_id_job REFERENCES job,
    rev bigint NOT NULL,
    system_id uuid NOT NULL CONSTRAINT fk_step_system_id_system REFERENCES system,
    unit_id uuid CONSTRAINT fk_step_unit_id_unit REFERENCES unit,
    code text NOT NULL,
    state text NOT NULL,
    done_at timestamptz,
    done_by_name text,
    note text NOT NULL,
    reading_id uuid,
    reset_by uuid,
    field_revs jsonb NOT NULL DEFAULT '{}',
    two_values jsonb NOT NULL DEFAULT '{}',
    unknown_fields json,
    CONSTRAINT ck_step_state CHECK (state IN ('todo', 'done', 'failed', 'not_applicable'))
);
CREATE INDEX ix_step_company_id ON step (company_id);
CREATE INDEX ix_step_job_id_rev_id ON step (job_id, rev, id);
CREATE INDEX ix_step_system_code ON step (system_id, code);

CREATE TABLE issue (
    id uuid CONSTRAINT pk_issue PRIMARY KEY,
    company_id uuid NOT NULL CONSTRAINT fk_issue_company_id_company REFERENCES company,
    job_id uuid NOT NULL CONSTRAINT fk_issue_job_id_job REFERENCES job,
    rev bigint NOT NULL,
    number integer NOT NULL,
    unit_id uuid NOT NULL CONSTRAINT fk_issue_unit_id_unit REFERENCES unit,
    system_id uuid CONSTRAINT fk_issue_system_id_system REFERENCES system,
    category text NOT NULL,
    words text NOT NULL,
    action text NOT NULL,
    evidence text NOT NULL,
    stops jsonb NOT NULL,
    opens_circuit boolean NOT NULL,
    who_must_act text NOT NULL,
    state text NOT NULL,
    visit_id uuid CONSTRAINT fk_issue_visit_id_visit REFERENCES visit,
    raised_at timestamptz NOT NULL,
    raised_by_name text NOT NULL,
    due_on date,
    promised_on date,
    answered_at timestamptz,
    answered_by_name text,
    proved_by_name text,
    closed_at timestamptz,
    times_reopened integer NOT NULL,
    accepted_by_name text,
    accepted_reason text,
    fixed_by_person_ids jsonb NOT NULL,
    answered_by_link_id uuid,
    left_contractor_rev bigint,
    field_revs jsonb NOT NULL DEFAULT '{}',
    two_values jsonb NOT NULL DEFAULT '{}',
    unknown_fields json,
    CONSTRAINT ck_issue_state CHECK (state IN ('open', 'answered', 'proved', 'sent_back', 'accepted')),
    CONSTRAINT ck_issue_who_must_act CHECK (
        who_must_act IN ('contractor', 'technician', 'dispatcher', 'electrician', 'customer')),
    CONSTRAINT uq_issue_job_id_number UNIQUE (job_id, number)
);
CREATE INDEX ix_issue_company_id ON issue (company_id);
CREATE INDEX ix_issue_job_id_rev_id ON issue (job_id, rev, id);
CREATE INDEX ix_issue_unit_id ON issue (unit_id);

CREATE TABLE issue_event (
    id uuid CONSTRAINT pk_issue_event PRIMARY KEY,
    company_id uuid NOT NULL CONSTRAINT fk_issue_event_company_id_company REFERENCES company,
    job_id uuid NOT NULL CONSTRAINT fk_issue_event_job_id_job REFERENCES job,
    rev bigint NOT NULL,
    made_rev bigint NOT NULL,
    issue_id uuid NOT NULL CONSTRAINT fk_issue_event_issue_id_issue REFERENCES issue,
    kind text NOT NULL,
    words text NOT NULL,
    promised_on date,
    by_name text NOT NULL,
    by_person_id uuid,
    by_role text NOT NULL,
    at timestamptz NOT NULL,
    shown_to_contractor boolean NOT NULL
);
CREATE INDEX ix_issue_event_company_id ON issue_event (company_id);
CREATE INDEX ix_issue_event_issue_id ON issue_event (issue_id);
CREATE INDEX ix_issue_event_job_id_rev_id ON issue_event (job_id, rev, id);

CREATE TABLE reading (
    id uuid CONSTRAINT pk_reading PRIMARY KEY,
    company_id uuid NOT NULL CONSTRAINT fk_reading_company_id_company REFERENCES company,
    job_id uuid NOT NULL CONSTRAINT fk_reading_job_id_job REFERENCES job,
    rev bigint NOT NULL,
    made_rev bigint NOT NULL,
    calculation text NOT NULL,
    system_id uuid CONSTRAINT fk_reading_system_id_system REFERENCES system,
    unit_id uuid CONSTRAINT fk_reading_unit_id_unit REFERENCES unit,
    step_id uuid CONSTRAINT fk_reading_step_id_step REFERENCES step,
    visit_id uuid CONSTRAINT fk_reading_visit_id_visit REFERENCES visit,
    inputs jsonb NOT NULL,
    entered jsonb NOT NULL,
    outputs jsonb NOT NULL,
    server_outputs jsonb NOT NULL,
    verdict text,
    engine_version text NOT NULL,
    differs boolean NOT NULL,
    instrument jsonb,
    reason text,
    taken_at timestamptz NOT NULL,
    by_name text NOT NULL,
    replaces_id uuid CONSTRAINT fk_reading_replaces_id_reading REFERENCES reading,
    unknown_fields json,
    CONSTRAINT ck_reading_verdict CHECK (verdict IN ('pass', 'fail', 'unclear'))
);
CREATE INDEX ix_reading_company_id ON reading (company_id);
CREATE INDEX ix_reading_job_id_rev_id ON reading (job_id, rev, id);
CREATE INDEX ix_reading_unit_id ON reading (unit_id);

CREATE TABLE photo (
    id uuid CONSTRAINT pk_photo PRIMARY KEY,
    company_id uuid NOT NULL CONSTRAINT fk_photo_company_id_company REFERENCES company,
    job_id uuid NOT NULL CONSTRAINT fk_photo_job_id_job REFERENCES job,
    rev bigint NOT NULL,
    made_rev bigint NOT NULL,
    issue_id uuid CONSTRAINT fk_photo_issue_id_issue REFERENCES issue,
    reading_id uuid CONSTRAINT fk_photo_reading_id_reading REFERENCES reading,
    unit_id uuid CONSTRAINT fk_photo_unit_id_unit REFERENCES unit,
    sha256 text NOT NULL,
    size_bytes integer NOT NULL,
    width_px integer NOT NULL,
    height_px integer NOT NULL,
    state text NOT NULL,
    refused_reason text,
    taken_at timestamptz NOT NULL,
    by_name text NOT NULL,
    by_link_id uuid CONSTRAINT fk_photo_by_link_id_contractor_link REFERENCES contractor_link,
    marks jsonb NOT NULL DEFAULT '[]',
    shown_to_contractor boolean NOT NULL,
    field_revs jsonb NOT NULL DEFAULT '{}',
    two_values jsonb NOT NULL DEFAULT '{}',
    unknown_fields json,
    CONSTRAINT ck_photo_one_owner CHECK (num_nonnulls(issue_id, reading_id, unit_id) = 1),
    CONSTRAINT ck_photo_state CHECK (state IN ('pending', 'stored', 'refused'))
);
CREATE INDEX ix_photo_company_id ON photo (company_id);
CREATE INDEX ix_photo_issue_id ON photo (issue_id);
CREATE INDEX ix_photo_job_id_rev_id ON photo (job_id, rev, id);
CREATE INDEX ix_photo_reading_id ON photo (reading_id);
CREATE INDEX ix_photo_sha256 ON photo (sha256);
CREATE INDEX ix_photo_unit_id ON photo (unit_id);

CREATE TABLE upload (
    id uuid CONSTRAINT pk_upload PRIMARY KEY,
    company_id uuid NOT NULL CONSTRAINT fk_upload_company_id_company REFERENCES company,
    photo_id uuid CONSTRAINT fk_upload_photo_id_photo REFERENCES photo,
    device_id uuid CONSTRAINT fk_upload_device_id_device REFERENCES device,
    size_bytes integer NOT NULL,
    received_bytes integer NOT NULL,
    said_metadata text NOT NULL,
    claim uuid,
    writer uuid,
    damaged_times integer NOT NULL,
    created_at timestamptz NOT NULL,
    expires_at timestamptz NOT NULL,
    finished_at timestamptz,
    CONSTRAINT ck_upload_size CHECK (received_bytes BETWEEN 0 AND size_bytes),
    CONSTRAINT ck_upload_whose CHECK (num_nonnulls(photo_id, device_id) = 1),
    CONSTRAINT uq_upload_photo_id UNIQUE (photo_id)
);
CREATE INDEX ix_upload_company_id ON upload (company_id);
CREATE INDEX ix_upload_expires_at ON upload (expires_at);

CREATE TABLE upload_part (
    id uuid CONSTRAINT pk_upload_part PRIMARY KEY,
    company_id uuid NOT NULL CONSTRAINT fk_upload_part_company_id_company REFERENCES company,
    upload_id uuid NOT NULL CONSTRAINT fk_upload_part_upload_id_upload REFERENCES upload ON DELETE CASCADE,
    from_byte integer NOT NULL,
    content bytea NOT NULL,
    CONSTRAINT uq_upload_part_upload_id_from_byte UNIQUE (upload_id, from_byte)
);
CREATE INDEX ix_upload_part_company_id ON upload_part (company_id);
-- A photo cannot be packed any smaller, so nobody tries.
ALTER TABLE upload_part ALTER content SET STORAGE EXTERNAL;
"""

# What the server remembers of each phone, so that nothing is applied twice and nothing is lost.
# Phones choose the ids of their mutations, so an id is one device's: whatever another device or
# another company has under the same id, a receipt can always be written.
SYNC = """
CREATE TABLE lane (
    id uuid CONSTRAINT pk_lane PRIMARY KEY,
    company_id uuid NOT NULL CONSTRAINT fk_lane_company_id_company REFERENCES company,
    job_id uuid NOT NULL,
    device_id uuid NOT NULL CONSTRAINT fk_lane_device_id_device REFERENCES device,
    last_seq integer NOT NULL DEFAULT 0,
    settled_seq integer NOT NULL DEFAULT 0,
    CONSTRAINT uq_lane_device_id_job_id UNIQUE (device_id, job_id)
);
CREATE INDEX ix_lane_company_id ON lane (company_id);
CREATE INDEX ix_lane_job_id ON lane (job_id);

CREATE TABLE receipt (
    id uuid NOT NULL,
    company_id uuid NOT NULL CONSTRAINT fk_receipt_company_id_company REFERENCES company,
    job_id uuid NOT NULL,
    rev bigint NOT NULL,
    device_id uuid NOT NULL CONSTRAINT fk_receipt_device_id_device REFERENCES device,
    seq integer NOT NULL,
    body_hash varchar(64) NOT NULL,
    outcome varchar(20) NOT NULL,
    detail jsonb,
    at timestamptz NOT NULL DEFAULT now(),
    CONSTRAINT pk_receipt PRIMARY KEY (id, device_id),
    CONSTRAINT uq_receipt_device_id_job_id_seq UNIQUE (device_id, job_id, seq)
);
CREATE INDEX ix_receipt_company_id ON receipt (company_id);

CREATE TABLE set_aside (
    id uuid NOT NULL,
    company_id uuid NOT NULL CONSTRAINT fk_set_aside_company_id_company REFERENCES company,
    job_id uuid NOT NULL,
    device_id uuid NOT NULL CONSTRAINT fk_set_aside_device_id_device REFERENCES device,
    seq integer NOT NULL,
    person_id uuid CONSTRAINT fk_set_aside_person_id_person REFERENCES person,
    link_id uuid CONSTRAINT fk_set_aside_link_id_contractor_link REFERENCES contractor_link,
    type varchar(60) NOT NULL,
    entity uuid,
    outcome varchar(20) NOT NULL,
    detail jsonb NOT NULL,
    body text NOT NULL,
    mentions uuid[] NOT NULL DEFAULT '{}',
    replaces uuid,
    is_of_no_job boolean NOT NULL DEFAULT false,
    at timestamptz NOT NULL DEFAULT now(),
    settled_at timestamptz,
    taken_rev bigint,
    taken_as uuid,
    CONSTRAINT pk_set_aside PRIMARY KEY (id, device_id)
);
CREATE INDEX ix_set_aside_company_id ON set_aside (company_id);
CREATE INDEX ix_set_aside_device_id_job_id_entity ON set_aside (device_id, job_id, entity);
CREATE INDEX ix_set_aside_job_id ON set_aside (job_id) WHERE settled_at IS NULL;
CREATE INDEX ix_set_aside_link_id ON set_aside (link_id);
CREATE INDEX ix_set_aside_person_id ON set_aside (person_id);
CREATE INDEX ix_set_aside_replaces ON set_aside (replaces) WHERE replaces IS NOT NULL;
"""

TABLES = (
    *("company", "person", "job", "system", "unit", "limit"),
    *("contractor_link", "device", "device_session", "link_session"),
    *("visit", "step", "issue", "issue_event", "reading", "photo", "upload", "upload_part"),
    *("lane", "receipt", "set_aside"),
)

ROLES = """
DO $$
BEGIN
    IF NOT EXISTS (SELECT FROM pg_roles WHERE rolname = 'flarenut_app') THEN
        CREATE ROLE flarenut_app LOGIN NOSUPERUSER NOBYPASSRLS NOCREATEDB NOCREATEROLE;
    END IF;
    IF NOT EXISTS (SELECT FROM pg_roles WHERE rolname = 'flarenut_door') THEN
        CREATE ROLE flarenut_door NOLOGIN NOSUPERUSER NOBYPASSRLS NOCREATEDB NOCREATEROLE;
    END IF;
    -- An owner who is no superuser must belong to a role to act as it or to give it something.
    IF NOT (SELECT rolsuper FROM pg_roles WHERE rolname = current_user) THEN
        GRANT flarenut_app TO CURRENT_USER;
        GRANT flarenut_door TO CURRENT_USER;
    END IF;
END
$$
"""

# After the transaction the setting is an empty text and not null, hence nullif.
NAMED_COMPANY = "nullif(current_setting('app.company', true), '')::uuid"

# What the application does to each table, and nothing more.
GRANTS = """
GRANT SELECT, INSERT ON ALL TABLES IN SCHEMA public TO flarenut_app;
REVOKE INSERT ON alembic_version FROM flarenut_app;
GRANT UPDATE ON job, unit, visit, step, issue, device_session, lane, upload TO flarenut_app;
GRANT UPDATE (people_rev) ON company TO flarenut_app;
GRANT UPDATE (name, role, password_hash, ended_at) ON person TO flarenut_app;
GRANT UPDATE (revoked_at, last_opened_at) ON contractor_link TO flarenut_app;
GRANT UPDATE (expires_at) ON link_session TO flarenut_app;
GRANT UPDATE (rev, state, refused_reason, marks, shown_to_contractor) ON photo TO flarenut_app;
GRANT UPDATE (field_revs, two_values, unknown_fields) ON photo TO flarenut_app;
GRANT UPDATE (rev) ON issue_event TO flarenut_app;
GRANT UPDATE (settled_at, taken_rev, taken_as) ON set_aside TO flarenut_app;
GRANT DELETE ON upload, upload_part TO flarenut_app;
"""

# The look-ups before a company is known: name, what is asked, columns of the answer, and the query.
DOORS_OPEN = (
    (
        "door_company(value text)",
        "TABLE (company_id uuid)",
        "SELECT id FROM public.company WHERE name = value ORDER BY created_at LIMIT 1",
    ),
    (
        "door_person(value text)",
        "TABLE (company_id uuid, person_id uuid, name text, role text, password_hash text)",
        """
        SELECT company_id, id, name, role, password_hash
        FROM public.person WHERE email = value AND ended_at IS NULL
        """,
    ),
    (
        "door_device_session(value text)",
        """
        TABLE (
            session_id uuid, company_id uuid, device_id uuid, person_id uuid, name text, role text,
            token_hash text, previous_hash text, previous_until timestamptz,
            created_at timestamptz, rotated_at timestamptz, seen_at timestamptz
        )
        """,
        """
        SELECT s.id, s.company_id, s.device_id, s.person_id, p.name,
            CASE WHEN p.ended_at IS NULL THEN p.role ELSE 'ended' END,
            s.token_hash, s.previous_hash, s.previous_until, s.created_at, s.rotated_at, s.seen_at
        FROM public.device_session s JOIN public.person p ON p.id = s.person_id
        WHERE s.ended_at IS NULL AND (
            s.token_hash = value
            OR (s.previous_hash = value AND (s.previous_until IS NULL OR s.previous_until > now()))
        )
        """,
    ),
    (
        "door_link(value text)",
        """
        TABLE (
            company_id uuid, company_name text, link_id uuid, job_id uuid,
            firm text, recipient text, expires_at timestamptz
        )
        """,
        """
        SELECT l.company_id, c.name, l.id, l.job_id, l.firm, l.recipient, l.expires_at
        FROM public.contractor_link l JOIN public.company c ON c.id = l.company_id
        WHERE l.secret_hash = value AND l.revoked_at IS NULL AND l.expires_at > now()
        """,
    ),
    (
        "door_link_session(value text)",
        """
        TABLE (
            session_id uuid, company_id uuid, device_id uuid, link_id uuid, job_id uuid,
            firm text, recipient text, expires_at timestamptz, link_expires_at timestamptz
        )
        """,
        """
        SELECT s.id, s.company_id, s.device_id, l.id, l.job_id, l.firm, l.recipient, s.expires_at, l.expires_at
        FROM public.link_session s JOIN public.contractor_link l ON l.id = s.link_id
        WHERE s.token_hash = value AND l.revoked_at IS NULL AND l.expires_at > now()
        """,
    ),
)

# Whose photos are to be checked and tidied. The server itself must not learn it, so this door is the owner's.
OWNERS_DOOR = (
    "door_companies()",
    "TABLE (company_id uuid)",
    "SELECT id FROM public.company ORDER BY created_at, id",
)

# The columns behind those look-ups; the door sees no other, and changes nothing.
DOOR_GRANTS = """
GRANT SELECT (id, name, created_at) ON company TO flarenut_door;
GRANT SELECT (id, company_id, email, name, role, password_hash, ended_at) ON person TO flarenut_door;
GRANT SELECT ON device_session, link_session TO flarenut_door;
GRANT SELECT (id, company_id, job_id, firm, recipient, secret_hash, expires_at, revoked_at)
    ON contractor_link TO flarenut_door;
"""


def upgrade() -> None:
    """Tables, then roles, then the wall, then the doors in it."""
    for tables in (PEOPLE, JOBS, DOORS, WORK, SYNC):
        op.execute(tables)
    op.execute(ROLES)
    for table in TABLES:
        _raise_wall(table)
    op.execute(GRANTS)
    for table in ("company", "person", "device_session", "contractor_link", "link_session"):
        op.execute(f"CREATE POLICY door ON {table} FOR SELECT TO flarenut_door USING (true)")
    op.execute(DOOR_GRANTS)
    # A new owner of a function must be allowed to create in its schema, for this moment only.
    op.execute("GRANT CREATE ON SCHEMA public TO flarenut_door")
    for name, answer, query in DOORS_OPEN:
        _open_door(name, answer=answer, query=query)
        op.execute(f"GRANT EXECUTE ON FUNCTION {name} TO flarenut_app")
    name, answer, query = OWNERS_DOOR
    _open_door(name, answer=answer, query=query)
    op.execute("REVOKE CREATE ON SCHEMA public FROM flarenut_door")


def _raise_wall(table: str) -> None:
    company = "id" if table == "company" else "company_id"
    op.execute(f'ALTER TABLE "{table}" ENABLE ROW LEVEL SECURITY')
    op.execute(f'ALTER TABLE "{table}" FORCE ROW LEVEL SECURITY')
    op.execute(
        f'CREATE POLICY company ON "{table}" TO PUBLIC '
        f"USING ({company} = {NAMED_COMPANY}) WITH CHECK ({company} = {NAMED_COMPANY})"
    )


def _open_door(name: str, *, answer: str, query: str) -> None:
    # With an empty search path nobody can slip a table of their own under the look-up.
    op.execute(
        f"CREATE FUNCTION {name} RETURNS {answer} LANGUAGE sql STABLE SECURITY DEFINER "
        f"SET search_path = '' AS $$ {query} $$"
    )
    op.execute(f"ALTER FUNCTION {name} OWNER TO flarenut_door")
    op.execute(f"REVOKE ALL ON FUNCTION {name} FROM PUBLIC")


def downgrade() -> None:
    """Everything of this migration goes, with all that is in it; the roles stay."""
    for name, _answer, _query in (*DOORS_OPEN, OWNERS_DOOR):
        op.execute(f"DROP FUNCTION {name}")
    for table in reversed(TABLES):
        op.execute(f'DROP TABLE "{table}"')
    op.execute("REVOKE ALL ON alembic_version FROM flarenut_app")
