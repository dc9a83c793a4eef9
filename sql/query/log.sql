-- SPDX-License-Identifier: GPL-3.0-or-later
-- name: log_insert
-- One entry; its number is the last row id.
INSERT INTO log (step_id, at_s, who, work_s, pause_s, about, sheets, before_g, after_g, off_um,
                 ra_um, rq_um, rz_um, rt_um, gloss_gu, verdict, words)
VALUES (:step_id, :at_s, :who, :work_s, :pause_s, :about, :sheets, :before_g, :after_g,
        :off_um, :ra_um, :rq_um, :rz_um, :rt_um, :gloss_gu, :verdict, :words);

-- name: log_step
-- One step with what was predicted, and what its entries not undone come to: seconds,
-- sheets; the micrometres taken off its whole face; verdict and words of the newest.
SELECT s.id, s.face, s.number, s.words, s.kind, s.system, s.label, s.mineral, s.carrier,
       s.drive, s.push, s.fluid, s.material, s.family, s.area_mm2, s.budget_um, s.predicted_s,
       s.predicted_sheets, s.predicted_um, s.predicted_ra_um, s.predicted_gu,
       s.removal_factor, s.life_factor, s.texture_factor, s.gloss_factor,
       (SELECT count(*) FROM log l WHERE l.step_id = s.id AND l.undone_s IS NULL),
       (SELECT sum(l.work_s) FROM log l WHERE l.step_id = s.id AND l.undone_s IS NULL),
       (SELECT sum(l.sheets) FROM log l WHERE l.step_id = s.id AND l.undone_s IS NULL),
       (SELECT sum(l.off_um) FROM log l JOIN step t ON t.id = l.step_id
         WHERE t.plan_id = s.plan_id AND t.face = s.face AND l.undone_s IS NULL),
       coalesce((SELECT x.verdict FROM log x
                  WHERE x.step_id = s.id AND x.undone_s IS NULL ORDER BY x.id DESC LIMIT 1),
                ''),
       coalesce((SELECT x.words FROM log x
                  WHERE x.step_id = s.id AND x.undone_s IS NULL ORDER BY x.id DESC LIMIT 1),
                '')
  FROM step s WHERE s.id = :id;

-- name: log_about
-- Entries not undone of a step whose time was "about", and entries without a time.
SELECT sum(about), sum(work_s IS NULL) FROM log WHERE step_id = :id AND undone_s IS NULL;

-- name: log_last
-- The newest entry not undone, of one person where :who is not ''.
SELECT l.id, s.face, s.number, l.who, l.at_s FROM log l JOIN step s ON s.id = l.step_id
 WHERE l.undone_s IS NULL AND (:who = '' OR l.who = :who) ORDER BY l.id DESC LIMIT 1;

-- name: log_undo
-- Marks one entry undone; no row when it was undone already.
UPDATE log SET undone_s = :at_s WHERE id = :id AND undone_s IS NULL;

-- name: log_takes
-- What an entry took from the drawer, to be given back.
SELECT medium_id, change FROM drawer_event WHERE log_id = :id AND kind = 'take';

-- name: log_list
-- The newest :most entries, undone ones marked, newest first; of one face where not ''.
SELECT l.id, l.at_s, l.who, j.name, s.face, s.number, s.words, l.work_s, l.about, l.sheets,
       l.off_um, l.ra_um, l.gloss_gu, l.verdict, l.words, l.undone_s IS NOT NULL
  FROM log l JOIN step s ON s.id = l.step_id JOIN plan p ON p.id = s.plan_id
  JOIN job_version v ON v.id = p.version_id JOIN job j ON j.id = v.job_id
 WHERE :face = '' OR s.face = :face
 ORDER BY l.id DESC LIMIT :most;

-- name: log_actual
-- What a job has really taken: seconds, sheets, entries; undone ones do not count.
SELECT sum(l.work_s), sum(l.sheets), count(l.id)
  FROM log l JOIN step s ON s.id = l.step_id JOIN plan p ON p.id = s.plan_id
  JOIN job_version v ON v.id = p.version_id
 WHERE v.job_id = :id AND l.undone_s IS NULL;
