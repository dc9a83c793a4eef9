/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a verb says: data on standard output, one line of complaint on standard error.
 */
#ifndef CLI_OUT_H
#define CLI_OUT_H

#include <jansson.h>

#include "app_words.h"
#include "cli_verbs.h"
#include "levigate/status.h"
#include "text.h"

enum {
    LEV_EXIT_DONE = 0,
    LEV_EXIT_ANSWER_NO = 1, /* a verdict other than next-grit, or a face infeasible */
    LEV_EXIT_INPUT = 2,     /* wrong input or usage */
    LEV_EXIT_SYSTEM = 3     /* file, disk, memory, store locked or newer */
};

/** Exit code of a status that is no answer. */
int lev_exit_code(lev_status st);

/** Print `levigate: WHERE: TEXT` on standard error; returns the exit code. */
int lev_out_error(lev_status st, const lev_error *err);

/** Write a text to standard output and free it; a full or closed output is an error. */
lev_status lev_out_text(lev_text *t, lev_error *err);

/** Write a JSON reply and drop it; `failed` from the puts that made it. */
lev_status lev_out_json(json_t *reply, int failed, lev_error *err);

/** Columns of the terminal, 80 when unknown. */
int lev_out_columns(void);

/** What --units says. */
lev_units lev_out_units(const lev_args *a);

/** One line a reservation. */
void lev_out_notes(lev_text *t, unsigned notes);

/* The verbs. Each reads its arguments, makes one call of app and prints. */
typedef int lev_verb_run(const lev_args *a);
extern lev_verb_run lev_cmd_chart, lev_cmd_drawer, lev_cmd_factor, lev_cmd_grit,
    lev_cmd_job, lev_cmd_log, lev_cmd_look, lev_cmd_material, lev_cmd_plan,
    lev_cmd_recover, lev_cmd_serve, lev_cmd_step, lev_cmd_trace, lev_cmd_verify;
extern lev_verb_run lev_cmd_exercise, lev_cmd_quote, lev_cmd_store;
extern lev_verb_run lev_cmd_chart, lev_cmd_grit, lev_cmd_look, lev_cmd_material;
extern lev_verb_run lev_cmd_picture, lev_cmd_plan, lev_cmd_recover, lev_cmd_relief,
    lev_cmd_serve;
extern lev_verb_run lev_cmd_step, lev_cmd_trace;

/** Threads for work that shares itself out: the processors there are, 16 at most. */
int lev_cli_threads(void);

#endif
