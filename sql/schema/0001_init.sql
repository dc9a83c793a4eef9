-- SPDX-License-Identifier: GPL-3.0-or-later
-- The shop's memory: drawer, jobs with their versions and frozen plans, the log, and
-- what the log says about the model. Instants are seconds UTC; money is in minor units;
-- NULL is "not known". Never edited after release: what changes is a new file.

CREATE TABLE shop (
    key TEXT PRIMARY KEY CHECK (length(key) > 0),
    value TEXT NOT NULL
) STRICT, WITHOUT ROWID;

-- One line of the drawer: pieces of one medium that are all alike.
CREATE TABLE medium (
    id INTEGER PRIMARY KEY,
    marking TEXT NOT NULL CHECK (length(marking) > 0),
    system TEXT NOT NULL,
    label TEXT NOT NULL,
    method TEXT NOT NULL,
    d50_um REAL CHECK (d50_um > 0),
    mineral TEXT NOT NULL,
    carrier TEXT NOT NULL,
    width_mm REAL CHECK (width_mm > 0),
    height_mm REAL CHECK (height_mm > 0),
    count REAL NOT NULL CHECK (count >= 0),
    price_minor INTEGER NOT NULL CHECK (price_minor >= 0),
    state TEXT NOT NULL CHECK (state IN ('fresh', 'run-in', 'tired')),
    waterproof INTEGER CHECK (waterproof IN (0, 1)),
    open_coat INTEGER NOT NULL CHECK (open_coat IN (0, 1)),
    anti_clog INTEGER NOT NULL CHECK (anti_clog IN (0, 1)),
    holes TEXT NOT NULL,
    lot TEXT NOT NULL,
    bought TEXT NOT NULL,
    reorder_at REAL CHECK (reorder_at >= 0),
    gone INTEGER NOT NULL DEFAULT 0 CHECK (gone IN (0, 1))
) STRICT;

CREATE TABLE job (
    id INTEGER PRIMARY KEY,
    name TEXT NOT NULL COLLATE NOCASE UNIQUE CHECK (length(name) > 0),
    state TEXT NOT NULL CHECK (state IN ('open', 'started', 'done')),
    made_s INTEGER NOT NULL
) STRICT;

CREATE TABLE job_version (
    id INTEGER PRIMARY KEY,
    job_id INTEGER NOT NULL REFERENCES job (id),
    number INTEGER NOT NULL CHECK (number > 0),
    body TEXT NOT NULL,
    why TEXT NOT NULL,
    at_s INTEGER NOT NULL,
    UNIQUE (job_id, number)
) STRICT;

-- The plan as it was when work started; never changed.
CREATE TABLE plan (
    id INTEGER PRIMARY KEY,
    version_id INTEGER NOT NULL REFERENCES job_version (id),
    goal TEXT NOT NULL,
    body TEXT NOT NULL,
    at_s INTEGER NOT NULL
) STRICT;

CREATE TABLE step (
    id INTEGER PRIMARY KEY,
    plan_id INTEGER NOT NULL REFERENCES plan (id),
    face TEXT NOT NULL COLLATE NOCASE,
    number INTEGER NOT NULL CHECK (number > 0),
    words TEXT NOT NULL,
    kind TEXT NOT NULL,
    system TEXT NOT NULL,
    label TEXT NOT NULL,
    mineral TEXT NOT NULL,
    carrier TEXT NOT NULL,
    drive TEXT NOT NULL,
    push TEXT NOT NULL,
    fluid TEXT NOT NULL,
    material TEXT NOT NULL,
    family TEXT NOT NULL,
    area_mm2 REAL CHECK (area_mm2 > 0),
    budget_um REAL CHECK (budget_um >= 0),
    predicted_s REAL CHECK (predicted_s > 0),
    predicted_sheets REAL CHECK (predicted_sheets > 0),
    predicted_um REAL CHECK (predicted_um > 0),
    predicted_ra_um REAL CHECK (predicted_ra_um > 0),
    predicted_gu REAL CHECK (predicted_gu > 0),
    -- factors already inside the predictions, so that nothing is learned twice
    removal_factor REAL NOT NULL DEFAULT 1 CHECK (removal_factor > 0),
    life_factor REAL NOT NULL DEFAULT 1 CHECK (life_factor > 0),
    texture_factor REAL NOT NULL DEFAULT 1 CHECK (texture_factor > 0),
    gloss_factor REAL NOT NULL DEFAULT 1 CHECK (gloss_factor > 0),
    UNIQUE (plan_id, face, number)
) STRICT;

-- What was really done. Entries are never changed; an undone one says when.
CREATE TABLE log (
    id INTEGER PRIMARY KEY,
    step_id INTEGER NOT NULL REFERENCES step (id),
    at_s INTEGER NOT NULL,
    who TEXT NOT NULL COLLATE NOCASE,
    work_s REAL CHECK (work_s > 0),
    pause_s REAL NOT NULL DEFAULT 0 CHECK (pause_s >= 0),
    about INTEGER NOT NULL CHECK (about IN (0, 1)),
    sheets REAL CHECK (sheets >= 0),
    before_g REAL CHECK (before_g > 0),
    after_g REAL CHECK (after_g > 0),
    off_um REAL CHECK (off_um >= 0),
    ra_um REAL CHECK (ra_um > 0),
    rq_um REAL CHECK (rq_um > 0),
    rz_um REAL CHECK (rz_um > 0),
    rt_um REAL CHECK (rt_um > 0),
    gloss_gu REAL CHECK (gloss_gu >= 0),
    verdict TEXT NOT NULL CHECK (verdict IN ('', 'next-grit', 'keep-at-it', 'cannot-tell')),
    words TEXT NOT NULL,
    undone_s INTEGER,
    CHECK (after_g IS NULL OR before_g >= after_g),
    CHECK (rt_um IS NULL OR rz_um IS NULL OR rt_um >= rz_um),
    CHECK (rq_um IS NULL OR ra_um IS NULL OR rq_um >= ra_um)
) STRICT;
CREATE INDEX log_by_step ON log (step_id);

-- Every change of a drawer line, and why.
CREATE TABLE drawer_event (
    id INTEGER PRIMARY KEY,
    medium_id INTEGER NOT NULL REFERENCES medium (id),
    at_s INTEGER NOT NULL,
    kind TEXT NOT NULL CHECK (kind IN ('add', 'take', 'count', 'correct', 'remove', 'undo')),
    change REAL NOT NULL,
    left_after REAL NOT NULL CHECK (left_after >= 0),
    reason TEXT NOT NULL,
    log_id INTEGER REFERENCES log (id)
) STRICT;
CREATE INDEX drawer_event_by_medium ON drawer_event (medium_id);
CREATE INDEX drawer_event_by_log ON drawer_event (log_id);

-- A combination the factors are learned for.
CREATE TABLE cell (
    id INTEGER PRIMARY KEY,
    family TEXT NOT NULL,
    material TEXT NOT NULL,
    drive TEXT NOT NULL,
    mineral TEXT NOT NULL,
    who TEXT NOT NULL,
    UNIQUE (family, material, drive, mineral, who)
) STRICT;

-- ln(actual / model) of one entry; made from the log, gone when the entry is undone.
CREATE TABLE fact (
    quantity TEXT NOT NULL CHECK (quantity IN ('removal', 'life', 'texture', 'gloss')),
    log_id INTEGER NOT NULL REFERENCES log (id),
    cell_id INTEGER NOT NULL REFERENCES cell (id),
    ln_ratio REAL NOT NULL,
    variance REAL NOT NULL CHECK (variance >= 0),
    PRIMARY KEY (quantity, log_id)
) STRICT, WITHOUT ROWID;

-- A photo, trace or reading kept beside the store under its content hash.
CREATE TABLE attachment (
    id INTEGER PRIMARY KEY,
    job_id INTEGER NOT NULL REFERENCES job (id),
    face TEXT NOT NULL,
    at_s INTEGER NOT NULL,
    name TEXT NOT NULL,
    sha256 TEXT NOT NULL CHECK (length(sha256) = 64),
    bytes INTEGER NOT NULL CHECK (bytes >= 0),
    words TEXT NOT NULL
) STRICT;
