/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Stands in for the variants that this build has not. */
#include "groove.h"

void lev_groove_kern_avx2(lev_groove_kern *k)
{
    (void)k;
}
