/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A line found late: what made it, and the shortest way back. */
#ifndef APP_RECOVER_H
#define APP_RECOVER_H

#include <jansson.h>

#include "app_plan.h"

typedef struct lev_recover_ask {
    const lev_job *job;
    const char *face;
    int found_after;  /* step number from 1 */
    double depth_um;  /* NaN when it was felt, seen or measured */
    const char *felt; /* how it is felt or seen, an id of the felt_start table */
    bool lone;
    double direction_deg; /* NaN: not told */
    const char *trace;    /* a measured face: its deepest line; NULL: none */
    double length_deg;    /* direction of the length of the face in that map */
    lev_plan_from from;   /* goal: the ladder that was followed */
} lev_recover_ask;

typedef struct lev_recover_reply {
    lev_plan_answer plan; /* of the one face */
    lev_recover_answer answer;
    double depth_um;
    const lev_row_felt_start *felt; /* NULL when a depth was given or measured */
    double line_mm, direction_deg;  /* of the line; NaN: not known */
    bool measured;
} lev_recover_reply;

/** LEV_E_USAGE for a face or step that is none of the job's. */
lev_status lev_app_recover(const lev_recover_ask *ask, lev_recover_reply *out,
                           lev_error *err);
void lev_recover_reply_release(lev_recover_reply *r);

json_t *lev_app_recover_json(const lev_recover_reply *r, int *failed);
void lev_app_recover_text(lev_text *t, const lev_recover_reply *r, lev_units units);
/** Write the way back as a card. */
lev_status lev_app_recover_card(const lev_recover_reply *r, const char *path,
                                const char *paper, lev_units units, lev_error *err);

#endif
