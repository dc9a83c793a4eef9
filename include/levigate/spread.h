/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A number with its spread. People never read the names of these quantiles (P50 is a
 * sheet of paper): they read "usually 4 to 8 min, 1 in 10 takes over 9". */
#ifndef LEVIGATE_SPREAD_H
#define LEVIGATE_SPREAD_H

#ifdef __cplusplus
extern "C" {
#endif

typedef struct lev_spread {
    double p10, p50, p90; /* quantiles at 10, 50 and 90 % */
} lev_spread;

/** The three quantiles of a log-normal number with this median and log-sd >= 0. */
lev_spread lev_spread_lognormal(double median, double lnsd);

#ifdef __cplusplus
}
#endif
#endif
