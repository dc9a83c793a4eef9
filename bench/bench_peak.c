/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How many additions and multiplications of doubles this machine can do: six
 * independent chains of each, as wide as the kernels are built. Nothing to store,
 * nothing to load: the bound no kernel beats. */
#include "bench_peak.h"

typedef double wide __attribute__((vector_size(32)));

enum { CHAINS = 6 }; /* of each; with the two constants they fill the registers */

double bench_peak(long turns, double *sink)
{
    wide a[CHAINS], m[CHAINS];
    for (int i = 0; i < CHAINS; i++) {
        a[i] = (wide){1.0, 2.0, 3.0, 4.0} * (double)(i + 1);
        m[i] = (wide){1.0, 1.0, 1.0, 1.0} + 1e-9 * (double)i;
    }
    for (long t = 0; t < turns; t++) {
        for (int i = 0; i < CHAINS; i++) {
            a[i] += 1e-9;
            m[i] *= 1.000000001;
        }
    }
    for (int i = 0; i < CHAINS; i++) {
        for (int j = 0; j < 4; j++)
            *sink += a[i][j] + m[i][j];
    }
    return (double)turns * CHAINS * 8.0;
}
