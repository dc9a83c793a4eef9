/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The job file. */
#ifndef IO_JOB_IO_H
#define IO_JOB_IO_H

#include "file.h"
#include "json.h"
#include "levigate/job.h"

/**
 * Read a job from JSON text (taken over). Unknown keys, wrong kinds, values out of
 * range, names that no table knows and faces that stand twice are refused with path and
 * line:column.
 * @param name  file name for messages
 */
lev_status lev_job_read(const char *name, lev_bytes *text, lev_job *out,
                        lev_error *err);

/** The same from a file, "-" for standard input. */
lev_status lev_job_load(const char *path, lev_job *out, lev_error *err);

/* Parts, shared by the files of the reader. */
lev_status lev_job_read_start(const lev_json_in *in, const json_t *face,
                              const char *path, lev_job_start *out);
lev_status lev_job_read_target(const lev_json_in *in, const json_t *face,
                               const char *path, lev_job_target *out);
lev_status lev_job_check_grit(const lev_json_in *in, const char *path,
                              const char *system, const char *label,
                              const char *method);

#endif
