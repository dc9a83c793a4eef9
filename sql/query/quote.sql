-- SPDX-License-Identifier: GPL-3.0-or-later
-- name: quote_insert
-- Keeps a quote that was given.
INSERT INTO quote (job_id, at_s, count, currency, low_minor, likely_minor, high_minor,
                   given_minor, predicted_s)
VALUES (:id, :at_s, :count, :currency, :low_minor, :likely_minor, :high_minor, :given_minor,
        :predicted_s);

-- name: quote_list
-- The quotes of a job, newest first.
SELECT at_s, count, currency, low_minor, likely_minor, high_minor, given_minor, predicted_s
  FROM quote WHERE job_id = :id ORDER BY id DESC;
