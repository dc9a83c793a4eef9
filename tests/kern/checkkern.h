/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the checks of single kernels share. */
#ifndef CHECKKERN_H
#define CHECKKERN_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "rng.h"

enum { GUARD = 64 }; /* bytes on either side that no kernel may touch */

/* n bytes between guards, `off` bytes past a 64-byte boundary. */
typedef struct guarded {
    unsigned char *block;
    unsigned char *p;
    size_t n;
} guarded;

guarded guarded_new(size_t n, size_t off);
void guarded_free(guarded *g);

/* One TAP line; failures say what and where. */
void tell(bool good, const char *sentence);
void complain(const char *format, ...) __attribute__((format(printf, 1, 2)));

/* Guards untouched. */
bool guards_stand(const guarded *g);

/* Distance in representable numbers; 0 for two NaN. */
uint64_t ulps(double a, double b);

/* Seconds of the best of several turns of fn(arg), and the spread of the turns. */
double best_seconds(void (*fn)(void *), void *arg, double *spread);

/* Heights of a kind: 0 random, 1 with NaN, 2 denormal, 3 huge and infinite, 4 level. */
enum { KINDS = 5 };
void fill_heights(double *h_um, ptrdiff_t n, lev_rng rng, uint64_t stream, int kind);

void check_groove(lev_rng rng);
void check_stats(lev_rng rng);
void bench_groove(lev_rng rng);

#endif
