/* SPDX-License-Identifier: GPL-3.0-or-later */
/* See quadfit.h. */
#include "quadfit.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* The quadratic's terms at a point, groups scaled to -1..1. */
void quad_terms(const quad_group q[GROUPS], const double group[GROUPS], double x[TERMS])
{
    double u[GROUPS];
    int n = 0;
    for (int g = 0; g < GROUPS; g++) {
        const double low = q[g].low, high = q[g].high;
        const double share = q[g].log ? log(group[g] / low) / log(high / low)
                                      : (group[g] - low) / (high - low);
        u[g] = 2.0 * share - 1.0;
    }
    x[n++] = 1.0;
    for (int g = 0; g < GROUPS; g++)
        x[n++] = u[g];
    for (int g = 0; g < GROUPS; g++) {
        for (int k = g; k < GROUPS; k++)
            x[n++] = u[g] * u[k];
    }
}

/* Cholesky factor of a in its lower half, in place. */
static void factor(double a[TERMS][TERMS])
{
    for (int j = 0; j < TERMS; j++) {
        for (int i = j; i < TERMS; i++) {
            double s = a[i][j];
            for (int k = 0; k < j; k++)
                s -= a[i][k] * a[j][k];
            a[i][j] = i == j ? sqrt(s) : s / a[j][j];
        }
    }
}

static void solve(double l[TERMS][TERMS], double b[TERMS])
{
    for (int i = 0; i < TERMS; i++) {
        for (int k = 0; k < i; k++)
            b[i] -= l[i][k] * b[k];
        b[i] /= l[i][i];
    }
    for (int i = TERMS - 1; i >= 0; i--) {
        for (int k = i + 1; k < TERMS; k++)
            b[i] -= l[k][i] * b[k];
        b[i] /= l[i][i];
    }
}

quad_fit quad_fit_of(const quad_group q[GROUPS], const double (*group)[GROUPS],
                     const double *y_at, int n)
{
    static double a[TERMS][TERMS];
    quad_fit f = {0};
    double x[TERMS];
    memset(a, 0, sizeof a);
    for (int i = 0; i < n; i++) {
        if (!(y_at[i] > 0.0))
            continue;
        quad_terms(q, group[i], x);
        for (int j = 0; j < TERMS; j++) {
            f.value[j] += x[j] * log(y_at[i]);
            for (int k = 0; k < TERMS; k++)
                a[j][k] += x[j] * x[k];
        }
        f.n++;
    }
    if (f.n < 2 * TERMS)
        return (quad_fit){0};
    factor(a);
    solve(a, f.value);
    for (int i = 0; i < n; i++) {
        double y = 0.0, leverage = 0.0, z[TERMS];
        if (!(y_at[i] > 0.0))
            continue;
        quad_terms(q, group[i], x);
        memcpy(z, x, sizeof z);
        solve(a, z);
        for (int j = 0; j < TERMS; j++) {
            y += x[j] * f.value[j];
            leverage += x[j] * z[j];
        }
        const double e = log(y_at[i]) - y;
        f.rms += e * e / f.n;
        f.left_out += e * e / ((1.0 - leverage) * (1.0 - leverage)) / f.n;
        f.worst = fmax(f.worst, fabs(e));
    }
    f.rms = sqrt(f.rms);
    f.left_out = sqrt(f.left_out);
    return f;
}

const char *quad_term_name(const quad_group q[GROUPS], int term, char name[80])
{
    int n = 1 + GROUPS;
    if (term == 0)
        return "1";
    if (term <= GROUPS)
        return q[term - 1].name;
    for (int g = 0; g < GROUPS; g++) {
        for (int k = g; k < GROUPS; k++, n++) {
            if (n == term)
                snprintf(name, 80, "%s*%s", q[g].name, q[k].name);
        }
    }
    return name;
}
