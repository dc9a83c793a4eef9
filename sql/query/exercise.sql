-- SPDX-License-Identifier: GPL-3.0-or-later
-- name: exercise_insert
-- Adds an exercise; its number is the last row id.
INSERT INTO exercise (kind, at_s, seed, unit) VALUES (:kind, :at_s, :seed, :unit);

-- name: exercise_list
-- Every exercise, newest first, with its coupons and guesses.
SELECT e.id, e.kind, e.at_s, e.seed, e.unit,
       (SELECT count(*) FROM coupon c WHERE c.exercise_id = e.id),
       (SELECT count(*) FROM guess g WHERE g.exercise_id = e.id)
  FROM exercise e ORDER BY e.id DESC;

-- name: exercise_get
-- One exercise; no row when there is none.
SELECT id, kind, at_s, seed, unit FROM exercise WHERE id = :id;

-- name: coupon_insert
-- One coupon with its hidden code.
INSERT INTO coupon (exercise_id, code, truth, words) VALUES (:id, :code, :truth, :words);

-- name: coupon_list
-- The coupons of an exercise in order of code: the answer key.
SELECT code, truth, words FROM coupon WHERE exercise_id = :id ORDER BY code;

-- name: guess_insert
-- One guess of one numbered sheet; a second one in the same round replaces it. NULL is
-- "unsure", which counts.
INSERT INTO guess (exercise_id, code, sheet, round, value, at_s)
VALUES (:id, :code, :sheet, :round, :value, :at_s)
    ON CONFLICT (exercise_id, code, sheet, round)
    DO UPDATE SET value = excluded.value, at_s = excluded.at_s;

-- name: guess_list
-- Every guess of an exercise beside the truth, by round, sheet and code.
SELECT g.code, g.sheet, g.round, g.value, c.truth
  FROM guess g JOIN coupon c ON c.exercise_id = g.exercise_id AND c.code = g.code
 WHERE g.exercise_id = :id ORDER BY g.round, g.sheet, g.code;
