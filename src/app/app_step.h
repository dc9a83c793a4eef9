/* SPDX-License-Identifier: GPL-3.0-or-later */
/* One step forward: what one grit on one drive does to a face. */
#ifndef APP_STEP_H
#define APP_STEP_H

#include <jansson.h>

#include "app_resolve.h"
#include "levigate/simulate.h"
#include "levigate/spread.h"

/* The kernel runs so many sections, each so many grains wide. */
enum { LEV_STEP_SECTIONS = 6, LEV_STEP_GRAINS = 40 };

/* Texts that are NULL or "" mean the usual. */
typedef struct lev_step_request {
    const char *material, *state;
    const char *grit, *system; /* marking, and the only system to look in */
    const char *drive, *push;  /* push: a word or kg on a scale */
    const char *after;         /* marking whose texture is to be cleared */
    const char *mineral, *fluid;
    double area_mm2; /* of the face; 0: 100 x 50 mm */
    bool simulate;   /* run the groove kernel in place of the response surface */
    uint64_t seed;
    int threads;
    lev_sim_progress progress; /* may be NULL */
    void *payload;
} lev_step_request;

/* What the response surface says where the kernel was run in its place. */
typedef struct lev_step_surface {
    double ra_um, deepest_um, removal_um_per_m;
    double clear_um; /* NaN without `after` */
} lev_step_surface;

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
    bool simulated; /* the figures above are the kernel's; surface holds the others */
    lev_step_surface surface;
    uint64_t seed;
    unsigned notes;
    lev_mark mark; /* weakest figure it rests on */
} lev_step_answer;

/** LEV_E_UNKNOWN for names in no table, LEV_E_RANGE for figures out of range. */
lev_status lev_app_step(const lev_step_request *req, lev_step_answer *out,
                        lev_error *err);

/** Run the step, over the texture of `after` if there is one, as independent sections
 * across the lay, and put what the kernel gives in the place of the surface's figures.
 * @param left    share of the old texture that may stay; 1 without `after`
 * @param section the surface's answer for a face as wide as the sections together
 */
lev_status lev_step_simulate(const lev_step_request *req, const lev_cut_pass *section,
                             double left, lev_step_answer *a, lev_error *err);

/** How far a figure of the kernel lies from the surface's, in per cent of the latter.
 */
double lev_step_differs_pct(double kernel, double surface);

/** The answer as JSON; *failed is ORed. */
json_t *lev_app_step_json(const lev_step_answer *a, int *failed);

#endif
