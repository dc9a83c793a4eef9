/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Counter-based random numbers: the same numbers for the same (seed, index) whatever
 * the order and the number of threads.
 * Source: Salmon, Moraes, Dror, Shaw, "Parallel random numbers: as easy as 1, 2, 3",
 * SC11 (2011), generator Philox4x32 with 10 rounds. */
#ifndef BASE_RNG_H
#define BASE_RNG_H

#include <stdint.h>

#ifdef __cplusplus
extern "C" {
#endif

typedef struct lev_rng {
    uint64_t seed;
} lev_rng;

/** Four 32-bit words for counter (hi, lo) under a key. */
void lev_philox4x32(const uint32_t counter[4], const uint32_t key[2], uint32_t out[4]);

/** Two uniform numbers in (0, 1) for item `index`, use `stream` of it. */
void lev_rng_uniform2(lev_rng r, uint64_t index, uint64_t stream, double out[2]);

/** One uniform number in (0, 1). */
double lev_rng_uniform(lev_rng r, uint64_t index, uint64_t stream);

/** One standard normal number, by the inverse distribution function. */
double lev_rng_normal(lev_rng r, uint64_t index, uint64_t stream);

#ifdef __cplusplus
}
#endif
#endif
