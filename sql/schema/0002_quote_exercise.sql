-- SPDX-License-Identifier: GPL-3.0-or-later
-- Quotes given, and exercises for learners. No names of learners anywhere: a guess
-- belongs to a numbered sheet of paper.

CREATE TABLE quote (
    id INTEGER PRIMARY KEY,
    job_id INTEGER NOT NULL REFERENCES job (id),
    at_s INTEGER NOT NULL,
    count INTEGER NOT NULL CHECK (count > 0),
    currency TEXT NOT NULL,
    low_minor INTEGER NOT NULL CHECK (low_minor >= 0),
    likely_minor INTEGER NOT NULL CHECK (likely_minor >= low_minor),
    high_minor INTEGER NOT NULL CHECK (high_minor >= likely_minor),
    given_minor INTEGER NOT NULL CHECK (given_minor >= 0),
    predicted_s REAL NOT NULL CHECK (predicted_s >= 0)
) STRICT;
CREATE INDEX quote_by_job ON quote (job_id);

CREATE TABLE exercise (
    id INTEGER PRIMARY KEY,
    kind TEXT NOT NULL,
    at_s INTEGER NOT NULL,
    seed INTEGER NOT NULL,
    unit TEXT NOT NULL
) STRICT;

CREATE TABLE coupon (
    exercise_id INTEGER NOT NULL REFERENCES exercise (id),
    code TEXT NOT NULL COLLATE NOCASE,
    truth REAL NOT NULL CHECK (truth > 0),
    words TEXT NOT NULL,
    PRIMARY KEY (exercise_id, code)
) STRICT, WITHOUT ROWID;

CREATE TABLE guess (
    id INTEGER PRIMARY KEY,
    exercise_id INTEGER NOT NULL,
    code TEXT NOT NULL COLLATE NOCASE,
    sheet INTEGER NOT NULL CHECK (sheet > 0),
    round INTEGER NOT NULL CHECK (round > 0),
    value REAL CHECK (value > 0),
    at_s INTEGER NOT NULL,
    UNIQUE (exercise_id, code, sheet, round),
    FOREIGN KEY (exercise_id, code) REFERENCES coupon (exercise_id, code)
) STRICT;
