-- SPDX-License-Identifier: GPL-3.0-or-later
-- name: drawer_list
-- Every line that is not gone, coarse first; lines of unknown size last.
SELECT id, marking, system, label, method, d50_um, mineral, carrier, width_mm, height_mm,
       count, price_minor, state, waterproof, open_coat, anti_clog, holes, lot, bought,
       reorder_at
  FROM medium WHERE gone = 0
 ORDER BY d50_um IS NULL, d50_um DESC, id;

-- name: drawer_get
-- One line by its number, also when it is gone; no row when there never was one.
SELECT id, marking, system, label, method, d50_um, mineral, carrier, width_mm, height_mm,
       count, price_minor, state, waterproof, open_coat, anti_clog, holes, lot, bought,
       reorder_at
  FROM medium WHERE id = :id;

-- name: drawer_alike
-- The line that is alike in all but count and price, if any: more of the same goes there.
SELECT id FROM medium
 WHERE gone = 0 AND system = :system AND label = :label AND method = :method
   AND mineral = :mineral AND carrier = :carrier AND width_mm IS :width_mm
   AND height_mm IS :height_mm AND state = :state AND waterproof IS :waterproof
   AND open_coat = :open_coat AND anti_clog = :anti_clog AND holes = :holes
   AND lot = :lot;

-- name: drawer_insert
-- Adds one line; its number is the last row id.
INSERT INTO medium (marking, system, label, method, d50_um, mineral, carrier, width_mm,
                    height_mm, count, price_minor, state, waterproof, open_coat,
                    anti_clog, holes, lot, bought, reorder_at)
VALUES (:marking, :system, :label, :method, :d50_um, :mineral, :carrier, :width_mm,
        :height_mm, :count, :price_minor, :state, :waterproof, :open_coat, :anti_clog,
        :holes, :lot, :bought, :reorder_at);

-- name: drawer_change
-- Adds :change to one line. Changes no row when too little is left; the caller checks.
UPDATE medium SET count = max(0.0, count + :change)
 WHERE id = :id AND gone = 0 AND count + :change >= -1e-9;

-- name: drawer_settings
-- Sets what is given (not NULL) of price, state, re-order point and waterproofness.
UPDATE medium
   SET price_minor = coalesce(:price_minor, price_minor),
       state = coalesce(:state, state),
       reorder_at = coalesce(:reorder_at, reorder_at),
       waterproof = coalesce(:waterproof, waterproof)
 WHERE id = :id AND gone = 0;

-- name: drawer_remove
-- Takes a line out of sight; its history stays.
UPDATE medium SET gone = 1, count = 0.0 WHERE id = :id AND gone = 0;

-- name: drawer_event
-- Notes one change and what was left after it.
INSERT INTO drawer_event (medium_id, at_s, kind, change, left_after, reason, log_id)
VALUES (:id, :at_s, :kind, :change, (SELECT count FROM medium WHERE id = :id), :reason,
        :log_id);

-- name: drawer_for_step
-- The line a step takes its paper from: same system and label, the step's mineral and
-- carrier where it names them, fresh before tired, the fullest first.
SELECT id FROM medium
 WHERE gone = 0 AND count > 0 AND system = :system AND label = :label
   AND (:mineral = '' OR mineral = :mineral) AND (:carrier = '' OR carrier = :carrier)
 ORDER BY state = 'tired', count DESC, id LIMIT 1;

-- name: drawer_used
-- Pieces taken off each line since :since_s, by taking and by the log, less what was
-- undone; and the instant of the first event of the line.
SELECT medium_id,
       -sum(CASE WHEN kind IN ('take', 'undo') AND at_s >= :since_s THEN change ELSE 0 END),
       min(at_s)
  FROM drawer_event GROUP BY medium_id;

-- name: drawer_history
-- All changes of one line, oldest first.
SELECT at_s, kind, change, left_after, reason FROM drawer_event
 WHERE medium_id = :id ORDER BY id;
