/* SPDX-License-Identifier: GPL-3.0-or-later */
/* One step forward: what one grit on one drive does to a face. */
#ifndef APP_STEP_H
#define APP_STEP_H

#include <jansson.h>

#include "app_resolve.h"
#include "levigate/spread.h"

/* Texts that are NULL or "" mean the usual. */
typedef struct lev_step_request {
    const char *material, *state;
    const char *grit, *system; /* marking, and the only system to look in */
    const char *drive, *push;  /* push: a word or kg on a scale */
    const char *after;         /* marking whose texture is to be cleared */
    const char *mineral, *fluid;
    double area_mm2; /* of the face; 0: 100 x 50 mm */
} lev_step_request;

typedef struct lev_step_answer {
    lev_resolved_work work;
    lev_grit grit, after;
    bool has_after;
    const lev_row_drive *drive;
    const lev_row_push *push; /* words of the push, NULL beyond all of them */
    const lev_row_mineral *mineral;
    double push_n, area_mm2;
    lev_cut_pass pass, after_pass;
    lev_spread ra_um, deepest_um;
    double clear_um; /* NaN without `after` */
    lev_spread clear_s, clear_sheets;
    unsigned notes;
    lev_mark mark; /* weakest figure it rests on */
} lev_step_answer;

/** LEV_E_UNKNOWN for names in no table, LEV_E_RANGE for figures out of range. */
lev_status lev_app_step(const lev_step_request *req, lev_step_answer *out,
                        lev_error *err);

/** The answer as JSON; *failed is ORed. */
json_t *lev_app_step_json(const lev_step_answer *a, int *failed);

#endif
