/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Steps of a frozen plan, copied out of the store. */
#ifndef APP_SHOP_STEPS_H
#define APP_SHOP_STEPS_H

#include "app_shop.h"

typedef struct lev_shop_steps {
    lev_store_step *step; /* [n]; texts in the arena */
    ptrdiff_t n;
    lev_arena arena;
} lev_shop_steps;

/** A step of nothing: every number NaN but the factors, which are 1; texts "". */
lev_store_step lev_shop_step_none(void);

/** All steps of the newest plan of a job, face by face. Errors of lev_store_steps. */
lev_status lev_shop_read_steps(const lev_shop *shop, int64_t job_id,
                               lev_shop_steps *out, lev_error *err);
/** One step by its number in the store. */
lev_status lev_shop_read_step(const lev_shop *shop, int64_t step_id,
                              lev_shop_steps *out, lev_error *err);
void lev_shop_steps_release(lev_shop_steps *s);

/** A step as JSON: what was planned, what was done. */
json_t *lev_shop_step_json(const lev_store_step *s, int *failed);

#endif
