/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCH_PEAK_H
#define BENCH_PEAK_H

/** Do 48 operations a turn; returns how many. *sink keeps them from vanishing. */
double bench_peak(long turns, double *sink);

#endif
