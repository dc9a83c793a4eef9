/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a planned face reflects before and after, for the card. */
#ifndef APP_PLAN_LOOK_H
#define APP_PLAN_LOOK_H

#include "app_plan.h"
#include "levigate/card.h"
#include "mem.h"

/** Pictures and words into the arena; none where the face has no ladder or nobody has
 * published how its material reflects. */
lev_status lev_plan_look(const lev_plan_face_answer *f, lev_units units,
                         lev_arena *arena, lev_card_face *out, lev_error *err);

#endif
