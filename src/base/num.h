/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Numbers in and out, whatever the locale says, and the few functions of probability
 * that the core needs. */
#ifndef BASE_NUM_H
#define BASE_NUM_H

#include <math.h>
#include <stdbool.h>
#include <stddef.h>

#include "levigate/status.h"

#ifdef __cplusplus
extern "C" {
#endif

enum { LEV_NUM_TEXT = 40 }; /* bytes that hold any written number */

/**
 * Read a number at the start of s: [-+]digits[.digits][(e|E)[-+]digits], as JSON has it
 * (no hexadecimal, no nan, no inf), with comma allowed as decimal sign when comma_ok.
 * @param end  first byte not read; s itself when there is no number
 * @return the number; 0 when there is none. Overflow gives an infinity: check it.
 */
double lev_num_read(const char *s, bool comma_ok, const char **end);

/** The whole of s is one finite number. */
bool lev_num_parse(const char *s, bool comma_ok, double *out);

/** Write with `digits` significant digits (0: the shortest that reads back the same).
 */
void lev_num_write(double value, int digits, char out[LEV_NUM_TEXT]);

/** |a - b| <= atol + rtol * max(|a|, |b|); false with a NaN. */
bool lev_near(double a, double b, double rtol, double atol);

/** A figure is there: cells of a table that were empty are NaN. */
static inline bool lev_known(double x)
{
    return !isnan(x);
}

/** Standard normal distribution function. */
double lev_norm_cdf(double x);

/** Its inverse for 0 < p < 1 (+-infinity at the ends), relative error about 1e-15.
 * Source: Wichura, Applied Statistics 37 (1988) 477, algorithm AS 241 (PPND16). */
double lev_norm_quantile(double p);

/**
 * Nodes and weights of n-point Gauss-Legendre quadrature on [-1, 1], n <= 128.
 * Source: Newton on the three-term recurrence, Abramowitz & Stegun 25.4.29.
 */
void lev_gauss_legendre(int n, double *nodes, double *weights);

#ifdef __cplusplus
}
#endif
#endif
