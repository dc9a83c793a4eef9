/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The parts a step is put together from. */
#ifndef CUT_PASS_H
#define CUT_PASS_H

#include "cut_coef.h"
#include "cut_drive.h"

/** Steps of grains: kinds GRIT, BUFF, GRAIN. out has its contact and drive set. */
lev_status cut_pass_grit(const lev_cut_work *work, const lev_cut_tool *tool,
                         const cut_drive *drive, cut_trust *trust, lev_cut_pass *out,
                         lev_error *err);

/** Steps that are no grit: rows of data/cut/steps.csv. */
lev_status cut_pass_form(const lev_cut_work *work, const lev_cut_tool *tool,
                         cut_trust *trust, lev_cut_pass *out, lev_error *err);

/** n is a finite positive number (or also zero). */
bool cut_positive(double x);
bool cut_not_negative(double x);

#endif
