/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Reading a step, shared by jobs and log. */
#ifndef STORE_STEP_H
#define STORE_STEP_H

#include "store_own.h"

typedef struct store_see_step {
    lev_store_step_fn *fn;
    void *to;
} store_see_step;

/** A row of step_list or log_step. */
int lev_store_each_step(void *to, store_row *r);

#endif
