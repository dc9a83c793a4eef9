/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A quadratic of six groups through the logarithm of something, by least squares; each
 * point's error when it is left out follows from its leverage (Allen, Technometrics 16
 * (1974) 125). Groups (logarithms where said) are scaled to -1..1 over their range. */
#ifndef TOOLS_QUADFIT_H
#define TOOLS_QUADFIT_H

#include <stdbool.h>

enum { GROUPS = 6, TERMS = 1 + GROUPS + GROUPS * (GROUPS + 1) / 2 };

typedef struct quad_group {
    const char *name;
    double low, high;
    bool log;
} quad_group;

typedef struct quad_fit {
    double value[TERMS];
    double rms, left_out, worst; /* of the logarithm */
    int n;
} quad_fit;

/* The terms at a point. */
void quad_terms(const quad_group g[GROUPS], const double group[GROUPS],
                double x[TERMS]);

/* Fit ln y at n points group[i]; points with y not above 0 are left out. Fails (n = 0)
 * with fewer than twice as many points as terms. */
quad_fit quad_fit_of(const quad_group g[GROUPS], const double (*group)[GROUPS],
                     const double *y, int n);

/* "1", "a", "a*b". */
const char *quad_term_name(const quad_group g[GROUPS], int term, char name[80]);

#endif
