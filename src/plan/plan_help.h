/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Why there is no ladder, and the single change that would give one. */
#ifndef PLAN_HELP_H
#define PLAN_HELP_H

#include "plan_space.h"

/** Write why_not and would_help, each change proved by solving again with it. */
lev_status help_find(const space *s, const lev_plan_limits *limits, lev_face_result *r,
                     lev_error *err);

#endif
