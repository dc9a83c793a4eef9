/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Philox4x32-10. See rng.h. */
#include "rng.h"

#include "num.h"

enum { ROUNDS = 10 };

static uint32_t mul_hi(uint32_t a, uint32_t b)
{
    return (uint32_t)(((uint64_t)a * b) >> 32);
}

void lev_philox4x32(const uint32_t counter[4], const uint32_t key[2], uint32_t out[4])
{
    const uint32_t m0 = 0xD2511F53U, m1 = 0xCD9E8D57U; /* multipliers of the paper */
    const uint32_t w0 = 0x9E3779B9U, w1 = 0xBB67AE85U; /* its key increments */
    uint32_t c0 = counter[0], c1 = counter[1], c2 = counter[2], c3 = counter[3];
    uint32_t k0 = key[0], k1 = key[1];

    for (int i = 0; i < ROUNDS; i++) {
        const uint32_t n0 = mul_hi(m1, c2) ^ c1 ^ k0, n1 = m1 * c2;
        const uint32_t n2 = mul_hi(m0, c0) ^ c3 ^ k1, n3 = m0 * c0;
        c0 = n0;
        c1 = n1;
        c2 = n2;
        c3 = n3;
        k0 += w0;
        k1 += w1;
    }
    out[0] = c0;
    out[1] = c1;
    out[2] = c2;
    out[3] = c3;
}

/* 53 bits and a half step: never 0, never 1. */
static double unit(uint32_t hi, uint32_t lo)
{
    const uint64_t bits = (((uint64_t)hi << 32) | lo) >> 11;
    return ((double)bits + 0.5) * 0x1p-53;
}

void lev_rng_uniform2(lev_rng r, uint64_t index, uint64_t stream, double out[2])
{
    const uint32_t counter[4] = {(uint32_t)index, (uint32_t)(index >> 32),
                                 (uint32_t)stream, (uint32_t)(stream >> 32)};
    const uint32_t key[2] = {(uint32_t)r.seed, (uint32_t)(r.seed >> 32)};
    uint32_t w[4];
    lev_philox4x32(counter, key, w);
    out[0] = unit(w[0], w[1]);
    out[1] = unit(w[2], w[3]);
}

double lev_rng_uniform(lev_rng r, uint64_t index, uint64_t stream)
{
    double u[2];
    lev_rng_uniform2(r, index, stream, u);
    return u[0];
}

double lev_rng_normal(lev_rng r, uint64_t index, uint64_t stream)
{
    return lev_norm_quantile(lev_rng_uniform(r, index, stream));
}
