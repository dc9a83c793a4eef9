/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Acceptance of readings against a limit: maximum, 16 %, median, mean. */
#include "surface_inner.h"

#include <math.h>
#include <string.h>

#include "mem.h"

static bool is_beyond(double x, double limit, bool upper)
{
    return upper ? x > limit : x < limit;
}

static int count_beyond(const double *x, int n, double limit, bool upper)
{
    int k = 0;
    for (int i = 0; i < n; i++)
        k += is_beyond(x[i], limit, upper);
    return k;
}

static double mean_of(const double *x, int n)
{
    double sum = 0.0;
    for (int i = 0; i < n; i++)
        sum += x[i];
    return sum / n;
}

static double deviation_of(const double *x, int n)
{
    double sum = 0.0;
    const double mean = mean_of(x, n);
    for (int i = 0; i < n; i++)
        sum += (x[i] - mean) * (x[i] - mean);
    return n > 1 ? sqrt(sum / (n - 1)) : (double)NAN;
}

/* The short cuts of ISO 4288 in the order in which readings are taken, then the share
 * itself. */
static void accept_16pct(const double *x, int n, double limit, bool upper,
                         lev_acceptance *a)
{
    const double mean = mean_of(x, n), s = deviation_of(x, n);
    const double edge = upper ? mean + s : mean - s;
    a->accepted = true;
    a->value_um = x[0];
    a->how = "the first reading is not above 70 % of the limit";
    if (upper && x[0] <= lev_texture("accept_first") * limit)
        return;
    a->value_um = edge;
    a->how = "the first three readings keep the limit";
    if (n >= 3 && count_beyond(x, 3, limit, upper) == 0)
        return;
    a->how = "at most one of the first six readings is beyond the limit";
    if (n >= 6 && count_beyond(x, 6, limit, upper) <= 1)
        return;
    a->how = "at most two of the first twelve readings are beyond the limit";
    if (n >= 12 && count_beyond(x, 12, limit, upper) <= 2)
        return;
    a->how = "mean and one standard deviation keep the limit";
    if (n >= 2 && !is_beyond(edge, limit, upper))
        return;
    a->accepted = a->beyond <= lev_texture("accept_share") * n;
    a->how = a->accepted ? "not more than 16 % of the readings are beyond the limit"
                         : "more than 16 % of the readings are beyond the limit";
}

static lev_status accept_median(const double *x, int n, double limit, bool upper,
                                lev_acceptance *a, lev_error *err)
{
    void *p = NULL;
    const lev_status st = lev_mem_new((size_t)n, sizeof *x, &p, err);
    if (st < 0)
        return st;
    memcpy(p, x, (size_t)n * sizeof *x);
    a->value_um = lev_median(p, n);
    a->accepted = !is_beyond(a->value_um, limit, upper);
    a->how = a->accepted ? "the median keeps the limit" : "the median is beyond it";
    lev_mem_free(p);
    return LEV_OK;
}

lev_status lev_accept(const double *reading_um, int n, double limit_um, bool upper,
                      lev_accept_rule rule, lev_acceptance *out, lev_error *err)
{
    lev_acceptance a = {.n = n};
    lev_status st = LEV_OK;
    if (n < 1 || !isfinite(limit_um))
        return lev_fail(err, LEV_E_RANGE, "%d readings against a limit of %g um", n,
                        limit_um);
    for (int i = 0; i < n; i++)
        if (!isfinite(reading_um[i]))
            return lev_fail(err, LEV_E_RANGE, "reading %d is not a number", i + 1);
    a.beyond = count_beyond(reading_um, n, limit_um, upper);
    if (rule == LEV_ACCEPT_16PCT) {
        accept_16pct(reading_um, n, limit_um, upper, &a);
    } else if (rule == LEV_ACCEPT_MEDIAN) {
        st = accept_median(reading_um, n, limit_um, upper, &a, err);
    } else if (rule == LEV_ACCEPT_MEAN) {
        a.value_um = mean_of(reading_um, n);
        a.accepted = !is_beyond(a.value_um, limit_um, upper);
        a.how = a.accepted ? "the mean keeps the limit" : "the mean is beyond it";
    } else {
        a.value_um = reading_um[0];
        for (int i = 1; i < n; i++)
            if (is_beyond(reading_um[i], a.value_um, upper))
                a.value_um = reading_um[i];
        a.accepted = a.beyond == 0;
        a.how = a.accepted ? "no reading is beyond the limit"
                           : "a reading is beyond the limit";
    }
    *out = a;
    return st;
}
