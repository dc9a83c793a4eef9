/* SPDX-License-Identifier: GPL-3.0-or-later */
/* stats.h: one variant only, so against the same sums written out slowly, and against
 * closed forms. */
#include <math.h>
#include <stdlib.h>

#include "checkkern.h"
#include "num.h"
#include "stats.h"

/* Lanes as the contract numbers them, summed one at a time. */
static double slow_sum(const double *h, ptrdiff_t n)
{
    double s[8];
    for (int lane = 0; lane < 8; lane++) {
        s[lane] = 0.0;
        for (ptrdiff_t i = lane; i < n; i += 8)
            s[lane] += h[i];
    }
    return ((s[0] + s[4]) + (s[2] + s[6])) + ((s[1] + s[5]) + (s[3] + s[7]));
}

static bool sums_keep_their_order(lev_rng rng)
{
    double h[100];
    bool good = true;
    for (ptrdiff_t n = 0; n <= 100; n++) {
        fill_heights(h, n, rng, (uint64_t)n, 0);
        good = good && ulps(lev_stats_sum(h, n), slow_sum(h, n)) == 0;
    }
    return good;
}

static bool moments_are_those_of_a_ramp(void)
{
    enum { N = 1000 };
    double h[N];
    for (int i = 0; i < N; i++)
        h[i] = (double)i;
    /* Closed forms: mean (N-1)/2, mean square (N^2-1)/12, mean absolute N/4. */
    return lev_near(lev_stats_sum(h, N), N * (N - 1) / 2.0, 1e-14, 0.0) &&
           lev_near(lev_stats_sum_square(h, N, (N - 1) / 2.0),
                    N * ((double)N * N - 1.0) / 12.0, 1e-13, 0.0) &&
           lev_near(lev_stats_sum_abs(h, N, (N - 1) / 2.0), N * (N / 4.0), 1e-13,
                    0.0) &&
           lev_stats_max(h, N) >= N - 1 && lev_stats_min(h, N) <= 0.0;
}

static bool older_points_are_found(void)
{
    const double h[] = {-1.0, -9.0, -3.0, -7.0};
    const uint8_t mark[] = {0, 2, 1, 2};
    ptrdiff_t count = 0;
    const double low = lev_stats_min_older(h, mark, 4, 2, &count);
    return count == 2 && lev_near(low, -3.0, 0.0, 0.0);
}

void check_stats(lev_rng rng)
{
    tell(sums_keep_their_order(rng), "sums run in eight lanes");
    tell(moments_are_those_of_a_ramp(), "moments of a ramp meet their closed forms");
    tell(older_points_are_found(), "points not yet recut are told from the others");
}
