-- SPDX-License-Identifier: GPL-3.0-or-later
-- The store itself. Pragmas stand in src/store/store_open.c: they are settings.

-- name: begin
-- Takes the one writer's place; waits for another writer as long as busy_timeout says.
BEGIN IMMEDIATE;

-- name: begin_read
-- From the first reading on everything is seen as it was at one instant.
BEGIN DEFERRED;

-- name: commit
-- Everything since begin is on the disk when this has returned.
COMMIT;

-- name: rollback
-- Nothing since begin has happened.
ROLLBACK;

-- name: shop_get
-- The value of one setting; no row when it was never set.
SELECT value FROM shop WHERE key = :key;

-- name: shop_set
-- Sets one setting, whatever it was.
INSERT INTO shop (key, value) VALUES (:key, :value)
    ON CONFLICT (key) DO UPDATE SET value = excluded.value;
