/* SPDX-License-Identifier: GPL-3.0-or-later */
/* One groove across one row of heights: how much of it is engaged, cutting it, raising
 * what was pushed aside. Plain arrays; the caller owns everything.
 *
 * Contract of every function in the struct, whatever the variant:
 * - h_um has n elements dx_um apart, element 0 at x = 0; n may be 0; no alignment
 * asked.
 * - Sums run in eight lanes, element i in lane i mod 8, added as
 *   ((s0+s4)+(s2+s6)) + ((s1+s5)+(s3+s7)); no fused multiply-add. Hence every variant
 *   gives the same bits as the C one, and tolerance is 0 ULP.
 * - NaN is "no surface here": never engaged, stays NaN. Denormals count as they are. */
#ifndef KERN_GROOVE_H
#define KERN_GROOVE_H

#include <stddef.h>
#include <stdint.h>

#ifdef __cplusplus
extern "C" {
#endif

/* A V with a rounded bottom: height at distance x from the centre, u = min(x, round),
 *   bottom + (curve u^2 + slope (x - u)).
 * The flanks leave the rounding as tangents when curve = slope / (2 round). */
typedef struct lev_groove {
    double x0_um;     /* centre */
    double bottom_um; /* height of the lowest point */
    double slope;     /* rise over run of the flanks, > 0 */
    double round_um;  /* half-width of the rounded bottom, >= 0; 0 = sharp */
    double curve;     /* per um; 0 when sharp */
} lev_groove;

typedef struct lev_groove_sum {
    double over_um;  /* sum of the heights above the groove's wall */
    double count;    /* elements above it */
    ptrdiff_t first; /* the first of them; n when there is none */
    ptrdiff_t last;  /* the last of them; -1 when there is none */
} lev_groove_sum;

typedef struct lev_groove_kern {
    /* What stands above the wall: over_um and count; first and last stay unset. */
    lev_groove_sum (*engage)(const double *restrict h_um, ptrdiff_t n, double dx_um,
                             const lev_groove *g);
    /* Lower the row to the wall and write stamp into mark (n elements) where that
     * lowered it. The sums tell what was taken. */
    lev_groove_sum (*cut)(double *restrict h_um, uint8_t *restrict mark, ptrdiff_t n,
                          double dx_um, const lev_groove *g, uint8_t stamp);
    /* Add start_um + i step_um to element i; returns the greatest height reached,
     * -infinity when n is 0 or all is NaN. */
    double (*raise)(double *restrict h_um, ptrdiff_t n, double start_um,
                    double step_um);
} lev_groove_kern;

/** Fill in the fastest variants that the features in cpu (cpu.h) allow; 0 = plain C. */
void lev_groove_kern_init(lev_groove_kern *k, unsigned cpu);

/* Overwrites what the named instruction set does better; nothing where it was not
 * built. Only lev_groove_kern_init calls it. */
void lev_groove_kern_avx2(lev_groove_kern *k);

#ifdef __cplusplus
}
#endif
#endif
