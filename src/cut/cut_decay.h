/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Shared between the laws of decay and the step. */
#ifndef CUT_DECAY_H
#define CUT_DECAY_H

/** d_new^0.43 times the weak effect of pressure: what the short relaxation depth owes
 * to the new grains. */
double cut_short_scale(double d_new_um, double pressure_kpa);

#endif
