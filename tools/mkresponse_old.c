/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Textures of grains of other sizes: how deep the grains must go until a share of the
 * old lines is left, from grains a little larger to sixteen times the size. The surface
 * proper (mkresponse.c) has twice the size only. */
#include <math.h>

#include "mkresponse.h"
#include "units.h"

enum { POINTS = 72, ROWS = 4, LEFTS = 5 };
static const double LEFT[LEFTS] = {0.5, 0.2, 0.1, 0.05, 0.02};
static const double LOW = 1.25, HIGH = 16.0;

typedef struct old_point {
    double group[GROUPS], ratio;
    double own_deepest, old_deepest; /* over d50, of the new grains and the old */
    double clear[LEFTS];             /* over d50 */
} old_point;

static double deepest_of(const lev_sim_result *r)
{
    double sum = 0.0;
    const ptrdiff_t from = r->n / 2;
    for (ptrdiff_t i = from; i < r->n; i++)
        sum += r->record[i].deepest_um;
    return sum / (double)(r->n - from);
}

/* Old grains until their texture is their own; then the new ones until its deepest line
 * is gone and a texture of their own stands. */
static void measure_old(old_point *p, uint64_t seed, int threads)
{
    const double d = RESPONSE_D50_UM;
    double pitch_um;
    lev_error err = {0};
    const lev_sim_step old =
        response_step(p->group, p->ratio * d, 0.10 * p->ratio * d, seed);
    lev_sim_step own = response_step(p->group, d, d, seed + 1);
    if (lev_sim_pitch_um(&own, &pitch_um, &err) < 0)
        give_up(err.text);
    pitch_um /= 2.0; /* of another sheet's few grains that touch, so with room */
    lev_sim *s = face(40.0 * d * fmax(1.0, p->ratio / 4.0), pitch_um, ROWS, threads);
    lev_sim_result r = run(s, &old);
    const double old_um = deepest_of(&r);
    lev_sim_result_release(&r);
    own = response_step(p->group, d, 0.4 * d + 1.3 * old_um, seed + 1);
    own.records = 240;
    r = run(s, &own);
    p->old_deepest = old_um / d;
    p->own_deepest = deepest_of(&r) / d;
    for (int i = 0; i < LEFTS; i++)
        p->clear[i] = depth_at(&r, LEFT[i], false) / d;
    lev_sim_result_release(&r);
    lev_sim_free(s);
}

static void write_points(const char *dir, const old_point *p)
{
    FILE *const f = open_in(dir, "old_response.csv");
    fputs(
        "# Depth (over the median grain) at which the groove kernel leaves a share of "
        "the texture of grains\n# old_ratio times the size; deepest lines of both. "
        "Written by tools/mkresponse: do not edit.\n#table old_response\nid,",
        f);
    for (int g = 0; g < GROUPS; g++)
        fprintf(f, "%s,", RESPONSE_GROUP[g].name);
    fputs("old_ratio,own_deepest,old_deepest,left_50,left_20,left_10,left_05,left_02,"
          "mark,source,note\n#type id!,real!,real!,real!,real!,real!,real!,real!,real!,"
          "real!,real,real,real,real,real,mark!,source!,text\n",
          f);
    for (int i = 0; i < POINTS; i++) {
        fprintf(f, "o%d", i + 1);
        for (int g = 0; g < GROUPS; g++)
            fprintf(f, ",%.5g", p[i].group[g]);
        fprintf(f, ",%.5g,%.4g,%.4g", p[i].ratio, p[i].own_deepest, p[i].old_deepest);
        for (int k = 0; k < LEFTS; k++) {
            if (p[i].clear[k] > 0.0)
                fprintf(f, ",%.4g", p[i].clear[k]);
            else
                fputc(',', f);
        }
        fputs(",derived,none,\n", f);
    }
    fclose(f);
}

void write_old(const char *dir, int threads)
{
    static old_point p[POINTS];
    for (int i = 0; i < POINTS; i++) {
        response_place(p[i].group, i);
        p[i].ratio = LOW * pow(HIGH / LOW, halton(i + 20, 17));
        measure_old(&p[i], 2000000U + 10U * (unsigned)i, threads);
        fprintf(stderr, "\r%d of %d old textures", i + 1, POINTS);
    }
    fputc('\n', stderr);
    write_points(dir, p);
}
