/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Faces that share no paper are planned side by side. */
#ifndef APP_PLAN_TEAM_H
#define APP_PLAN_TEAM_H

#include "app_plan.h"

/**
 * Plan every resolved face that is not to be left alone, on as many threads as the
 * machine runs at once. Each answer is the one it has alone; which is ready first is
 * chance. from.step and from.unwanted are called by one thread at a time.
 * @return the failure of the first face that failed; LEV_E_CANCEL; LEV_E_SYSTEM,
 *         LEV_E_MEMORY
 */
lev_status lev_plan_team(lev_plan_answer *a, lev_error *err);

/** What a search has begun since it was asked last; it begins anew for each goal. */
ptrdiff_t lev_plan_rise(ptrdiff_t *last, ptrdiff_t labels);

#endif
