/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Threads that share out numbered tiles. Which thread does which tile is chance; the
 * work of a tile must not depend on it. */
#ifndef SIMULATE_POOL_H
#define SIMULATE_POOL_H

#include <stddef.h>

#include "levigate/status.h"

typedef void (*sim_tile)(void *payload, ptrdiff_t tile);
typedef struct sim_pool sim_pool;

/** threads >= 1 in all, the caller's own among them. */
lev_status sim_pool_new(int threads, sim_pool **out, lev_error *err);
void sim_pool_free(sim_pool *p);

/** Do tiles 0..n-1; returns when all are done. */
void sim_pool_run(sim_pool *p, ptrdiff_t n, sim_tile tile, void *payload);

#endif
