/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Quantiles of log-normal numbers. */
#include "levigate/spread.h"

#include <math.h>

lev_spread lev_spread_lognormal(double median, double lnsd)
{
    const double z90 = 1.2815515655446004; /* standard normal quantile at 0.9 */
    return (lev_spread){median * exp(-z90 * lnsd), median, median * exp(z90 * lnsd)};
}
