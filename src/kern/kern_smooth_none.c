/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Stands in for the variants that this build has not. */
#include "smooth.h"

void lev_smooth_kern_avx2(lev_smooth_kern *k)
{
    (void)k;
}
