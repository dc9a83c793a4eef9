/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a coupon of an exercise really is, in the unit of the guess. */
#ifndef APP_EXERCISE_TRUTH_H
#define APP_EXERCISE_TRUTH_H

#include "app_exercise.h"
#include "lev_tables.h"

/**
 * Work out the truth of a coupon and say what it is: um the middle grain, mg the mass
 * of a depth, s the time of fall, min the time until old lines are gone, mm the lift at
 * which type can just be read.
 */
lev_status exercise_truth(const lev_row_exercise *x, const lev_row_exercise_coupon *r,
                          lev_exercise_coupon *c, lev_error *err);

#endif
