/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Rows of data/cut/coef.csv, and what a result owes to the rows it used. */
#ifndef CUT_COEF_H
#define CUT_COEF_H

#include <stdbool.h>

#include "levigate/cut.h"
#include "levigate/note.h"

/* Gathers mark and notes of all that one result rests on. */
typedef struct cut_trust {
    lev_mark mark;
    unsigned notes;
} cut_trust;

typedef struct cut_coef {
    double median, lnsd;
    bool found;
} cut_coef;

/** The row quantity.applies; applies NULL or not in the table gives found = false and
 * median 1, lnsd 0. The mark of a found row goes into trust (may be NULL). */
cut_coef cut_coef_find(const char *quantity, const char *applies, cut_trust *trust);

/** The median of a row that data/ must have; asserts that it does. */
double cut_coef_get(const char *quantity, const char *applies, cut_trust *trust);

void cut_trust_add(cut_trust *trust, lev_mark mark);

/** The family's word: "metal" ... */
const char *cut_family_word(lev_cut_family family);
/** The state's word: "fresh", "run-in", "tired". */
const char *cut_state_word(lev_cut_state state);
/** The fluid's word: "dry" ... */
const char *cut_fluid_word(lev_cut_fluid fluid);

#endif
