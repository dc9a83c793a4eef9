-- SPDX-License-Identifier: GPL-3.0-or-later
-- name: job_list
-- Every job, newest first, with its number of versions and of entries not undone.
SELECT j.id, j.name, j.state, j.made_s,
       (SELECT count(*) FROM job_version v WHERE v.job_id = j.id),
       (SELECT count(*) FROM log l JOIN step s ON s.id = l.step_id
          JOIN plan p ON p.id = s.plan_id JOIN job_version v ON v.id = p.version_id
         WHERE v.job_id = j.id AND l.undone_s IS NULL)
  FROM job j ORDER BY j.made_s DESC, j.id DESC;

-- name: job_find
-- The job of this name, in any case; no row when there is none.
SELECT id, name, state, made_s FROM job WHERE name = :name;

-- name: job_insert
-- Adds a job; fails when the name stands already.
INSERT INTO job (name, state, made_s) VALUES (:name, 'open', :at_s);

-- name: job_state
-- Sets the state of one job.
UPDATE job SET state = :state WHERE id = :id;

-- name: job_version_insert
-- Adds the next version of a job; earlier ones stay.
INSERT INTO job_version (job_id, number, body, why, at_s)
VALUES (:id, (SELECT count(*) + 1 FROM job_version WHERE job_id = :id), :body, :why, :at_s);

-- name: job_versions
-- Every version of a job, first first.
SELECT id, number, body, why, at_s FROM job_version WHERE job_id = :id ORDER BY number;

-- name: job_version_last
-- The newest version of a job.
SELECT id, number, body, why, at_s FROM job_version
 WHERE job_id = :id ORDER BY number DESC LIMIT 1;

-- name: plan_insert
-- Freezes a plan of one version.
INSERT INTO plan (version_id, goal, body, at_s) VALUES (:version_id, :goal, :body, :at_s);

-- name: plan_last
-- The newest plan of a job: the one work is logged against.
SELECT p.id, p.goal, p.at_s, v.number FROM plan p JOIN job_version v ON v.id = p.version_id
 WHERE v.job_id = :id ORDER BY p.id DESC LIMIT 1;

-- name: plan_body
-- The text of one plan.
SELECT body FROM plan WHERE id = :id;

-- name: step_insert
-- One step of a frozen plan, with what was predicted of it.
INSERT INTO step (plan_id, face, number, words, kind, system, label, mineral, carrier, drive,
                  push, fluid, material, family, area_mm2, budget_um, predicted_s,
                  predicted_sheets, predicted_um, predicted_ra_um, predicted_gu,
                  removal_factor, life_factor, texture_factor, gloss_factor)
VALUES (:plan_id, :face, :number, :words, :kind, :system, :label, :mineral, :carrier, :drive,
        :push, :fluid, :material, :family, :area_mm2, :budget_um, :predicted_s,
        :predicted_sheets, :predicted_um, :predicted_ra_um, :predicted_gu,
        :removal_factor, :life_factor, :texture_factor, :gloss_factor);

-- name: step_list
-- The steps of a plan by face and number, each with what the log says was done: entries,
-- seconds, sheets, micrometres, last verdict. Undone entries do not count.
SELECT s.id, s.face, s.number, s.words, s.kind, s.system, s.label, s.mineral, s.carrier,
       s.drive, s.push, s.fluid, s.material, s.family, s.area_mm2, s.budget_um, s.predicted_s,
       s.predicted_sheets, s.predicted_um, s.predicted_ra_um, s.predicted_gu,
       s.removal_factor, s.life_factor, s.texture_factor, s.gloss_factor,
       count(l.id), sum(l.work_s), sum(l.sheets), sum(l.off_um),
       coalesce((SELECT x.verdict FROM log x
                  WHERE x.step_id = s.id AND x.undone_s IS NULL ORDER BY x.id DESC LIMIT 1),
                ''),
       coalesce((SELECT x.words FROM log x
                  WHERE x.step_id = s.id AND x.undone_s IS NULL ORDER BY x.id DESC LIMIT 1),
                '')
  FROM step s LEFT JOIN log l ON l.step_id = s.id AND l.undone_s IS NULL
 WHERE s.plan_id = :plan_id GROUP BY s.id ORDER BY s.id;

-- name: step_find
-- The step of this number of the face of this name in the newest plan of each job that
-- is under way (in :job where it is not ''); two rows or more when several jobs have one.
SELECT s.id, j.name, s.face
  FROM step s JOIN plan p ON p.id = s.plan_id JOIN job_version v ON v.id = p.version_id
  JOIN job j ON j.id = v.job_id
 WHERE s.face = :face AND s.number = :number AND j.state = 'started'
   AND (:job = '' OR j.name = :job COLLATE NOCASE)
   AND p.id = (SELECT max(q.id) FROM plan q JOIN job_version w ON w.id = q.version_id
                WHERE w.job_id = j.id)
 ORDER BY j.id;

-- name: step_job
-- The job a step belongs to.
SELECT j.id, j.name
  FROM step s JOIN plan p ON p.id = s.plan_id JOIN job_version v ON v.id = p.version_id
  JOIN job j ON j.id = v.job_id
 WHERE s.id = :id;

-- name: face_names
-- Every face of the jobs under way.
SELECT DISTINCT s.face
  FROM step s JOIN plan p ON p.id = s.plan_id JOIN job_version v ON v.id = p.version_id
  JOIN job j ON j.id = v.job_id
 WHERE j.state = 'started' ORDER BY s.face;

-- name: face_find
-- How many steps the face of this name has in jobs under way, and how many faces there
-- are with the name.
SELECT count(*), count(DISTINCT j.id)
  FROM step s JOIN plan p ON p.id = s.plan_id JOIN job_version v ON v.id = p.version_id
  JOIN job j ON j.id = v.job_id
 WHERE s.face = :face AND j.state = 'started';

-- name: attachment_insert
-- Notes a file kept beside the store.
INSERT INTO attachment (job_id, face, at_s, name, sha256, bytes, words)
VALUES (:id, :face, :at_s, :name, :sha256, :bytes, :words);

-- name: attachment_list
-- The files kept with a job, oldest first.
SELECT face, at_s, name, sha256, bytes, words FROM attachment WHERE job_id = :id ORDER BY id;

-- name: attachment_hashes
-- Every content hash kept, for the check that the files are there and whole.
SELECT DISTINCT sha256, name FROM attachment ORDER BY sha256;
