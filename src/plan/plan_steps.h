/* SPDX-License-Identifier: GPL-3.0-or-later */
/* From moves to steps a person can work from. */
#ifndef PLAN_STEPS_H
#define PLAN_STEPS_H

#include "plan_search.h"
#include "plan_space.h"

/** Fill the ladder with the steps of x: times, sheets, directions, residues, gates. */
lev_status steps_fill(const space *s, const lev_plan_ladder *x, lev_face_ladder *out,
                      lev_error *err);

/** Say in each step what forces it: the mark or texture that stays without it. */
void steps_explain(const space *s, const lev_plan_ladder *x, lev_face_ladder *out);

/** Say in each step what leaving it out costs, by solving for the same goal without its
 * size; v serves no other question afterwards. */
lev_status steps_try_without(const space *s, plan_solver *v, const lev_plan_ladder *x,
                             lev_plan_goal goal, lev_face_ladder *out, lev_error *err);

/** Place the full check where that costs least; see plan_gate.c. */
void gates_place(const space *s, lev_face_ladder *ladder);

/** "P240" or the words of a step without grit. */
const char *step_label(const space_option *o);

#endif
