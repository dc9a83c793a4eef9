/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The grains of one abrasive as a distribution of sizes: log-normal by volume and cut
 * off at the largest grain its standard allows. */
#ifndef LEVIGATE_GRAIN_H
#define LEVIGATE_GRAIN_H

#ifdef __cplusplus
extern "C" {
#endif

typedef struct lev_grain_dist {
    double mu_ln_um; /* ln of the median by volume in um */
    double sigma_ln; /* sd of ln size by volume, 0 (all equal) to 1.2 */
    double top_um;   /* largest grain, um; 0: none published, three sd above is used */
} lev_grain_dist;

#ifdef __cplusplus
}
#endif
#endif
