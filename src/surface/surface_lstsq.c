/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Linear least squares by Givens rotations, one equation at a time: R and Q'y are kept,
 * never the equations. Source: Golub & Van Loan, Matrix Computations, sections 5.1.8
 * and 5.2.5 (fast enough for few unknowns; the normal equations would lose half the
 * digits). */
#include "levigate/surface.h"

#include <float.h>
#include <math.h>
#include <string.h>

/* Row i of the packed upper triangle begins here; element (i, j) is j - i further. */
static ptrdiff_t row_start(int n, int i)
{
    return (ptrdiff_t)i * n - (ptrdiff_t)i * (i - 1) / 2;
}

void lev_lstsq_add(lev_lstsq *s, const double *row, double y)
{
    double a[LEV_LSTSQ_MAX];
    memcpy(a, row, (size_t)s->n * sizeof *a);
    for (int i = 0; i < s->n; i++) {
        if (!(fabs(a[i]) > 0.0))
            continue;
        double *r = s->r + row_start(s->n, i);
        const double h = hypot(r[0], a[i]);
        const double c = r[0] / h, d = a[i] / h;
        r[0] = h;
        for (int j = i + 1; j < s->n; j++) {
            const double u = r[j - i];
            r[j - i] = c * u + d * a[j];
            a[j] = c * a[j] - d * u;
        }
        const double u = s->qty[i];
        s->qty[i] = c * u + d * y;
        y = c * y - d * u;
    }
    s->rss += y * y;
    s->equations++;
}

lev_status lev_lstsq_solve(const lev_lstsq *s, double *x, lev_error *err)
{
    double size = 0.0;
    for (int i = 0; i < s->n; i++)
        size = fmax(size, fabs(s->r[row_start(s->n, i)]));
    for (int i = s->n - 1; i >= 0; i--) {
        const double *r = s->r + row_start(s->n, i);
        double sum = s->qty[i];
        if (!(fabs(r[0]) > size * DBL_EPSILON))
            return lev_fail(err, LEV_E_RANGE,
                            "%td measured points do not determine %d unknowns",
                            s->equations, s->n);
        for (int j = i + 1; j < s->n; j++)
            sum -= r[j - i] * x[j];
        x[i] = sum / r[0];
    }
    return LEV_OK;
}
