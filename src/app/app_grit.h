/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Grits and materials as JSON. */
#ifndef APP_GRIT_H
#define APP_GRIT_H

#include <jansson.h>

#include "levigate/grit.h"
#include "levigate/material.h"

/* What a marking means, and its equivalents when asked for. */
typedef struct lev_grit_answer {
    lev_grit_reading reading;
    lev_grit_alike alike[LEV_GRIT_ALIKE];
    int n_alike;
    double gap; /* second instrument over first for one powder; NaN for none */
} lev_grit_answer;

/* What bench tests have left of all candidates. */
typedef struct lev_identify_answer {
    lev_grit_state state;
    lev_grit_narrowing last;
    bool contradicts; /* any test did */
} lev_identify_answer;

/** Read a marking; `system` and `like` may be NULL. Errors of lev_grit_read. */
lev_status lev_app_grit(const char *marking, const char *system, const char *like,
                        lev_grit_answer *out, lev_error *err);

/** Apply n bench tests in turn; LEV_E_USAGE when there is none. */
lev_status lev_app_identify(const char *const *tests, int n, lev_identify_answer *out,
                            lev_error *err);

/* The answers as JSON; *failed is ORed. */
json_t *lev_app_grit_json(const lev_grit_answer *a, int *failed);
json_t *lev_app_identify_json(const lev_identify_answer *a, int *failed);
/** The systems, or with a system (its index) its grits. */
json_t *lev_app_grit_list_json(int system, int *failed);
json_t *lev_app_material_json(const lev_material *list, int n, const char *warning,
                              int *failed);

#endif
