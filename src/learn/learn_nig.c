/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Normal-inverse-gamma regression by orthogonal rotations. See learn.h.
 *
 * The state is the triangle R and z = R m. An entry (x, y) is rotated into them row by
 * row; what is left of y is independent of beta, and half its square goes into b. */
#include "levigate/learn.h"

#include <math.h>
#include <string.h>

#include "mem.h"
#include "units.h"

/* Root of a semidefinite matrix, R'R = lambda, by Cholesky with zero rows allowed. */
static lev_status take_root(lev_nig *s, const double *lambda, lev_error *err)
{
    const int k = s->k;
    for (int i = 0; i < k; i++) {
        double *row = s->root + (size_t)i * (size_t)k;
        for (int j = i; j < k; j++) {
            double sum = lambda[i * k + j];
            for (int m = 0; m < i; m++)
                sum -= s->root[m * k + i] * s->root[m * k + j];
            if (j == i) {
                if (!(sum >= -1e-12 * fabs(lambda[i * k + i])))
                    return lev_fail(err, LEV_E_RANGE,
                                    "prior matrix is not positive semidefinite");
                row[i] = sum > 0.0 ? sqrt(sum) : 0.0;
            } else {
                row[j] = row[i] > 0.0 ? sum / row[i] : 0.0;
            }
        }
    }
    return LEV_OK;
}

static double log_det(const lev_nig *s)
{
    double sum = 0.0;
    for (int i = 0; i < s->k; i++)
        sum += 2.0 * log(fabs(s->root[i * s->k + i]));
    return sum;
}

lev_status lev_nig_init(lev_nig *s, int k, const double *m0, const double *lambda0,
                        double a0, double b0, lev_error *err)
{
    lev_status st = LEV_OK;
    void *p = NULL;
    lev_nig t = {.k = k, .a = a0, .b = b0, .a0 = a0, .b0 = b0};
    if (k < 1 || k > LEV_NIG_MAX)
        return lev_fail(err, LEV_E_LIMIT, "%d coefficients; from 1 to %d fit", k,
                        LEV_NIG_MAX);
    if (!(a0 >= 0.0 && b0 >= 0.0))
        return lev_fail(err, LEV_E_RANGE, "prior of the noise a %g, b %g is negative",
                        a0, b0);
    const size_t n = (size_t)k;
    LEV_TRY(lev_mem_new(n * n + 2 * n, sizeof(double), &p, err));
    t.root = p;
    t.z = t.root + n * n;
    t.row = t.z + n;
    if (lambda0 != NULL)
        LEV_TRY(take_root(&t, lambda0, err));
    for (int i = 0; m0 != NULL && i < k; i++)
        for (int j = i; j < k; j++)
            t.z[i] += t.root[i * k + j] * m0[j];
    t.log_det0 = log_det(&t);
    *s = t;
    t.root = NULL;
out:
    lev_mem_free(t.root);
    return st;
}

void lev_nig_release(lev_nig *s)
{
    if (s == NULL)
        return;
    lev_mem_free(s->root);
    *s = (lev_nig){0};
}

void lev_nig_add(lev_nig *s, const double *x, double y, double weight)
{
    const int k = s->k;
    const double root_weight = sqrt(weight);
    double left = y * root_weight;
    s->a += 0.5;
    s->n++;
    if (!(weight > 0.0))
        return;
    s->log_weight += log(weight);
    for (int i = 0; i < k; i++)
        s->row[i] = x[i] * root_weight;
    for (int i = 0; i < k; i++) {
        if (!(fabs(s->row[i]) > 0.0))
            continue;
        double *r = s->root + (size_t)i * (size_t)k;
        const double length = hypot(r[i], s->row[i]);
        const double c = r[i] / length, d = s->row[i] / length;
        for (int j = i; j < k; j++) {
            const double a = r[j], b = s->row[j];
            r[j] = c * a + d * b;
            s->row[j] = c * b - d * a;
        }
        const double a = s->z[i];
        s->z[i] = c * a + d * left;
        left = c * left - d * a;
    }
    s->b += 0.5 * left * left;
}

static lev_status check_determined(const lev_nig *s, lev_error *err)
{
    double most = 0.0;
    for (int i = 0; i < s->k; i++)
        most = fmax(most, fabs(s->root[i * s->k + i]));
    for (int i = 0; i < s->k; i++)
        if (!(fabs(s->root[i * s->k + i]) > 1e-15 * most))
            return lev_fail(err, LEV_E_RANGE,
                            "coefficient %d is not determined by %td entries", i + 1,
                            s->n);
    return LEV_OK;
}

lev_status lev_nig_mean(const lev_nig *s, double *m, lev_error *err)
{
    const int k = s->k;
    const lev_status st = check_determined(s, err);
    if (st < 0)
        return st;
    for (int i = k - 1; i >= 0; i--) {
        double sum = s->z[i];
        for (int j = i + 1; j < k; j++)
            sum -= s->root[i * k + j] * m[j];
        m[i] = sum / s->root[i * k + i];
    }
    return LEV_OK;
}

void lev_nig_lambda(const lev_nig *s, double *out)
{
    const int k = s->k;
    for (int i = 0; i < k; i++)
        for (int j = 0; j < k; j++) {
            double sum = 0.0;
            for (int m = 0; m <= i && m <= j; m++)
                sum += s->root[m * k + i] * s->root[m * k + j];
            out[i * k + j] = sum;
        }
}

lev_status lev_nig_leverage(const lev_nig *s, const double *x, double *out,
                            lev_error *err)
{
    const int k = s->k;
    const lev_status st = check_determined(s, err);
    double sum = 0.0;
    if (st < 0)
        return st;
    for (int i = 0; i < k; i++) { /* R'u = x, then u'u */
        double u = x[i];
        for (int j = 0; j < i; j++)
            u -= s->root[j * k + i] * s->row[j];
        s->row[i] = u / s->root[i * k + i];
        sum += s->row[i] * s->row[i];
    }
    *out = sum;
    return LEV_OK;
}

lev_status lev_nig_predict(const lev_nig *s, const double *x, double noise,
                           lev_student *out, lev_error *err)
{
    lev_status st = LEV_OK;
    double leverage = 0.0, *m = NULL;
    void *p = NULL;
    if (!(s->a > 0.0))
        return lev_fail(err, LEV_E_RANGE, "nothing is known of the noise yet");
    LEV_TRY(lev_mem_new((size_t)s->k, sizeof *m, &p, err));
    m = p;
    LEV_TRY(lev_nig_mean(s, m, err));
    LEV_TRY(lev_nig_leverage(s, x, &leverage, err));
    *out = (lev_student){.dof = 2.0 * s->a,
                         .scale = sqrt(s->b / s->a * (noise + leverage))};
    for (int i = 0; i < s->k; i++)
        out->loc += x[i] * m[i];
out:
    lev_mem_free(p);
    return st;
}

double lev_nig_log_evidence(const lev_nig *s)
{
    if (!isfinite(s->log_det0) || !(s->a0 > 0.0 && s->b0 > 0.0))
        return NAN;
    return -0.5 * (double)s->n * log(2.0 * LEV_PI) + 0.5 * s->log_weight +
           0.5 * (s->log_det0 - log_det(s)) + s->a0 * log(s->b0) - s->a * log(s->b) +
           lgamma(s->a) - lgamma(s->a0);
}
