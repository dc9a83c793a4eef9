-- SPDX-License-Identifier: GPL-3.0-or-later
-- name: cell_find
-- The number of a combination; no row when it was never met.
SELECT id FROM cell WHERE family = :family AND material = :material AND drive = :drive
   AND mineral = :mineral AND who = :who;

-- name: cell_insert
-- Adds a combination; fails when it stands already.
INSERT INTO cell (family, material, drive, mineral, who)
VALUES (:family, :material, :drive, :mineral, :who);

-- name: cell_list
-- Every combination by its number.
SELECT id, family, material, drive, mineral, who FROM cell ORDER BY id;

-- name: fact_insert
-- What one entry says about one quantity; fails when it said so already.
INSERT INTO fact (quantity, log_id, cell_id, ln_ratio, variance)
VALUES (:quantity, :log_id, :cell_id, :ln_ratio, :variance);

-- name: fact_delete
-- Forgets what one entry said.
DELETE FROM fact WHERE log_id = :log_id;

-- name: fact_list
-- What all entries say about one quantity, in the order they were logged.
SELECT cell_id, ln_ratio, variance FROM fact WHERE quantity = :quantity ORDER BY log_id;

-- name: fact_dated
-- What the newest :most entries say about one quantity, in the order they were logged,
-- with the instant and number of the entry.
SELECT f.cell_id, f.ln_ratio, f.variance, l.at_s, l.id
  FROM (SELECT cell_id, ln_ratio, variance, log_id FROM fact
         WHERE quantity = :quantity ORDER BY log_id DESC LIMIT :most) f
  JOIN log l ON l.id = f.log_id
 ORDER BY f.log_id;

-- name: fact_count
-- How many entries speak about one quantity.
SELECT count(*) FROM fact WHERE quantity = :quantity;
