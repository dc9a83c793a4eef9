/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What each step of a job's ladders will show: before and after. */
#ifndef APP_LOOK_JOB_H
#define APP_LOOK_JOB_H

#include "app_look.h"
#include "app_plan.h"

/**
 * One answer a face: the face as found where its roughness is known, then each step of
 * its chosen ladder. A face without a ladder has no states.
 * @param out  [plan->faces], released by the caller one by one
 */
lev_status lev_app_look_job(const lev_look_ask *ask, const lev_plan_answer *plan,
                            lev_look_answer *out, lev_error *err);

/** The same for one face of a plan. */
lev_status lev_app_look_face(const lev_look_ask *ask, const lev_plan_face_answer *f,
                             lev_look_answer *out, lev_error *err);

#endif
