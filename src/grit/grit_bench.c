/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Which bench tests tell the readings of a marking apart: the two that together part
 * the most pairs of matches are written out. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "grit_table.h"
#include "num.h"
#include "units.h"

typedef enum bench_test {
    BY_LETTER,  /* the letter, looked for once more */
    BY_SCRATCH, /* beside a known grit on brass */
    BY_CARRIER, /* what carries the grains */
    BY_EYE,     /* single grains seen or not */
    BY_LENS,    /* scratch lines counted */
    BENCH_TESTS
} bench_test;

static double figure(const char *id)
{
    lev_mark mark = LEV_MARK_UNSET;
    return lev_grit_default(id, &mark);
}

static double size_of(const lev_grit *g)
{
    return lev_known(g->d50_um) ? g->d50_um : g->pitch_um;
}

/* The middle of the widest gap between the sizes of the matches. */
static double split_um(const lev_grit_reading *r)
{
    double best = 0.0, split = 0.0;
    for (int i = 0; i < r->n; i++) {
        const double a = size_of(&r->match[i]);
        double next = INFINITY;
        for (int k = 0; k < r->n; k++) {
            const double b = size_of(&r->match[k]);
            if (b > a && b < next)
                next = b;
        }
        if (isfinite(next) && next / a > best) {
            best = next / a;
            split = sqrt(a * next);
        }
    }
    return split;
}

static double eye_um(void)
{
    return figure("eye_distance_mm") * LEV_UM_PER_MM *
           tan(figure("eye_arcmin") / 60.0 * LEV_PI / 180.0);
}

static bool parts(bench_test test, double split, const lev_grit *a, const lev_grit *b)
{
    const double low = fmin(size_of(a), size_of(b)),
                 high = fmax(size_of(a), size_of(b));
    const double eye = eye_um();
    switch (test) {
    case BY_LETTER:
        return strcmp(lev_grit_prefix(a->system), lev_grit_prefix(b->system)) != 0;
    case BY_SCRATCH:
        return low < split && split < high && high / low >= figure("scratch_ratio");
    case BY_CARRIER:
        return strcmp(lev_grit_carrier(a->system), lev_grit_carrier(b->system)) != 0;
    case BY_EYE:
        return low < eye && eye < high && high / low >= exp(figure("eye_lnsd"));
    case BY_LENS:
        return high / low >= exp(figure("line_lnsd"));
    case BENCH_TESTS:
        break;
    }
    return false;
}

static int pairs_parted(bench_test test, bench_test with, const lev_grit_reading *r)
{
    const double split = split_um(r);
    int n = 0;
    for (int i = 0; i < r->n; i++)
        for (int k = 0; k < i; k++)
            n += parts(test, split, &r->match[i], &r->match[k]) ||
                 parts(with, split, &r->match[i], &r->match[k]);
    return n;
}

static const lev_grit *extreme(const lev_grit_reading *r, bool largest)
{
    const lev_grit *best = &r->match[0];
    for (int i = 1; i < r->n; i++) {
        const double x = size_of(&r->match[i]), y = size_of(best);
        if (lev_known(x) && (!lev_known(y) || (largest ? x > y : x < y)))
            best = &r->match[i];
    }
    return best;
}

/* The P grit of the published lists nearest to a size, to scratch beside. */
static lev_grit nearest_p(double size_um)
{
    lev_grit best = lev_grit_at(0);
    double off = INFINITY;
    const double end = figure("p_list_end");
    for (int i = 0; i < lev_grit_count(); i++) {
        char key[LEV_GRIT_KEY];
        const lev_grit g = lev_grit_at(i);
        if (strcmp(g.system, "P") != 0 || !lev_known(g.d50_um))
            continue;
        lev_grit_key(g.label, key);
        if (lev_grit_key_number(key) <= end && fabs(log(g.d50_um / size_um)) < off) {
            off = fabs(log(g.d50_um / size_um));
            best = g;
        }
    }
    return best;
}

static void add(char out[LEV_GRIT_TEXT], const char *text)
{
    const size_t n = strlen(out);
    (void)snprintf(out + n, LEV_GRIT_TEXT - n, "%s", text);
}

static bool is_first(const lev_grit_reading *r, int i,
                     const char *(*of)(const char *system))
{
    for (int k = 0; k < i; k++)
        if (strcmp(of(r->match[k].system), of(r->match[i].system)) == 0)
            return false;
    return true;
}

static const char *itself(const char *system)
{
    return system;
}

/* "coated: P, ANSI-coated; bonded: JIS, F" */
static void add_classes(const lev_grit_reading *r,
                        const char *(*of)(const char *system), const char *unnamed,
                        char out[LEV_GRIT_TEXT])
{
    for (int i = 0; i < r->n; i++) {
        const char *name = of(r->match[i].system);
        if (!is_first(r, i, of))
            continue;
        add(out, i > 0 ? "; " : ": ");
        add(out, *name != '\0' ? name : unnamed);
        add(out, " is ");
        bool some = false;
        for (int k = i; k < r->n; k++) {
            if (strcmp(of(r->match[k].system), name) != 0 || !is_first(r, k, itself))
                continue;
            add(out, some ? ", " : "");
            add(out, r->match[k].system);
            some = true;
        }
    }
}

static void write_sizes(bench_test test, const lev_grit_reading *r,
                        char out[LEV_GRIT_TEXT])
{
    const lev_grit *const large = extreme(r, true), *const small = extreme(r, false);
    const double x = size_of(large), y = size_of(small);
    if (test == BY_SCRATCH)
        (void)snprintf(out, LEV_GRIT_TEXT,
                       "one stroke beside a known %s on brass: coarser is %s %s (%.3g "
                       "um), finer is %s %s (%.3g um)",
                       nearest_p(split_um(r)).label, large->system, large->label, x,
                       small->system, small->label, y);
    else if (test == BY_EYE)
        (void)snprintf(out, LEV_GRIT_TEXT,
                       "look from %g mm without a glass: single grains seen is %s %s "
                       "(%.3g um), none is %s %s (%.3g um)",
                       figure("eye_distance_mm"), large->system, large->label, x,
                       small->system, small->label, y);
    else
        (void)snprintf(out, LEV_GRIT_TEXT,
                       "count its scratch lines on brass under a lens: about %.2g a mm "
                       "for %s %s, %.2g for %s %s",
                       LEV_UM_PER_MM / (figure("line_spacing_ratio") * x),
                       large->system, large->label,
                       LEV_UM_PER_MM / (figure("line_spacing_ratio") * y),
                       small->system, small->label);
}

static void write_test(bench_test test, const lev_grit_reading *r,
                       char out[LEV_GRIT_TEXT])
{
    out[0] = '\0';
    if (test == BY_CARRIER) {
        add(out, "look at what carries it");
        add_classes(r, lev_grit_carrier, "other", out);
    } else if (test == BY_LETTER) {
        add(out, "look once more for a letter or sign before the number");
        add_classes(r, lev_grit_prefix, "none", out);
    } else {
        write_sizes(test, r, out);
    }
}

/* Files: teeth and length say it all. */
static void write_file_tests(lev_grit_reading *r)
{
    const lev_grit *const large = extreme(r, true), *const small = extreme(r, false);
    (void)snprintf(
        r->test[0], LEV_GRIT_TEXT,
        "count the teeth on 10 mm along the file: %.2g for %s %s, %.2g for %s "
        "%s",
        10.0 * LEV_UM_PER_MM / large->pitch_um, large->system, large->label,
        10.0 * LEV_UM_PER_MM / small->pitch_um, small->system, small->label);
    (void)snprintf(r->test[1], LEV_GRIT_TEXT,
                   "measure the file from shoulder to tip: a cut's name means another "
                   "pitch at each length");
}

void lev_grit_bench_tests(lev_grit_reading *r)
{
    bench_test first = BY_LETTER, second = BY_SCRATCH;
    int most = -1;
    r->n_tests = 2;
    if (lev_known(r->match[0].pitch_um)) {
        write_file_tests(r);
        return;
    }
    for (int a = 0; a < BENCH_TESTS; a++) {
        for (int b = a + 1; b < BENCH_TESTS; b++) {
            /* Two tests that each part something go before one that parts all. */
            const bench_test one = (bench_test)a, two = (bench_test)b;
            const int n =
                pairs_parted(one, two, r) + r->n * ((pairs_parted(one, one, r) > 0) +
                                                    (pairs_parted(two, two, r) > 0));
            if (n > most) {
                most = n;
                first = one;
                second = two;
            }
        }
    }
    write_test(first, r, r->test[0]);
    write_test(second, r, r->test[1]);
}
