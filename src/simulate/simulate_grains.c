/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Grains on a sheet: sizes log-normal by volume, so log-normal by number about
 * d50 exp(-3 sigma^2) with the same spread (Hatch & Choate, J. Franklin Inst. 207
 * (1929) 369), cut off at the largest grain allowed; tips as high as the grain is big,
 * give or take. */
#include <math.h>
#include <stdlib.h>

#include "mem.h"
#include "num.h"
#include "rng.h"
#include "sheet.h"
#include "units.h"

enum { STREAM_SIZE = 1, STREAM_TIP = 2 };

/* Mean of D^2 over a log-normal of median m cut off at c. */
static double mean_square(double m, double sigma, double c)
{
    if (sigma <= 0.0)
        return m * m;
    const double z = log(c / m) / sigma;
    return m * m * exp(2.0 * sigma * sigma) * lev_norm_cdf(z - 2.0 * sigma) /
           lev_norm_cdf(z);
}

/* What is sorted: a grain is three times as long. */
typedef struct place_in {
    double height_um;
    ptrdiff_t grain;
} place_in;

static int taller_first(const void *a, const void *b)
{
    const double x = ((const place_in *)a)->height_um;
    const double y = ((const place_in *)b)->height_um;
    return (x < y) - (x > y);
}

/* Grains as drawn into grains by height. */
static lev_status sort_into(sim_grain *sorted, const sim_grain *drawn, ptrdiff_t n,
                            lev_error *err)
{
    lev_status st;
    place_in *place = NULL;
    LEV_TRY(lev_mem_new((size_t)n, sizeof *place, (void **)&place, err));
    for (ptrdiff_t i = 0; i < n; i++)
        place[i] = (place_in){drawn[i].height_um, i};
    qsort(place, (size_t)n, sizeof *place, taller_first);
    for (ptrdiff_t i = 0; i < n; i++)
        sorted[i] = drawn[place[i].grain];
out:
    lev_mem_free(place);
    return st;
}

/* What all draws have in common. */
typedef struct lot {
    double median_um; /* by number */
    double below;     /* share of the sizes below the largest */
    double tangent;   /* of the median tip */
} lot;

static lot lot_of(const lev_sim_grains *p)
{
    const double median_um = p->d50_um * exp(-3.0 * p->ln_sigma * p->ln_sigma);
    return (lot){.median_um = median_um,
                 .below =
                     p->ln_sigma > 0.0
                         ? lev_norm_cdf(log(p->largest_um / median_um) / p->ln_sigma)
                         : 1.0,
                 .tangent = tan(p->half_angle_rad)};
}

static double tangent_of(const lev_sim_grains *p, const lot *l, lev_rng rng,
                         ptrdiff_t i)
{
    double u[2];
    if (!(p->angle_lnsd > 0.0))
        return l->tangent;
    lev_rng_uniform2(rng, (uint64_t)i, STREAM_TIP, u);
    return l->tangent * exp(p->angle_lnsd * lev_norm_quantile(u[0]));
}

static sim_grain draw(const lev_sim_step *step, const lot *l, lev_rng rng, ptrdiff_t i)
{
    const lev_sim_grains *p = &step->grains;
    double u[2];
    lev_rng_uniform2(rng, (uint64_t)i, STREAM_SIZE, u);
    const double size_um =
        l->median_um * exp(p->ln_sigma * lev_norm_quantile(u[0] * l->below));
    const double rise = fmax(p->height_spread, 0.0) * lev_norm_quantile(u[1]);
    return (sim_grain){
        .height_um = size_um * (1.0 + rise),
        .spring = step->backing_mpa * size_um,
        .spread = tangent_of(p, l, rng, i),
        .radius_um = p->tip_round * size_um,
        .size_um = size_um,
    };
}

/* Cut the tallest down to one height: that share of what would touch a flat face. */
static void dress(sim_sheet *s, const lev_sim_step *step)
{
    const double share = step->grains.dressed;
    if (!(share > 0.0))
        return;
    const ptrdiff_t touching = sim_sheet_above(s, sim_flat_press(s, step).sheet_um);
    const double cap_um = s->new_um[(ptrdiff_t)(share * (double)(touching - 1))];
    for (ptrdiff_t i = 0; i < touching; i++) {
        s->new_um[i] = fmin(s->new_um[i], cap_um);
        s->grain[i].height_um = s->new_um[i];
    }
}

lev_status sim_sheet_init(sim_sheet *s, const lev_sim_step *step, lev_error *err)
{
    lev_status st;
    sim_sheet t = {.n = step->grains.count};
    const lev_sim_grains *p = &step->grains;
    const lev_rng rng = {step->seed};
    const lot l = lot_of(p);
    sim_grain *drawn = NULL;

    LEV_TRY(lev_mem_new((size_t)t.n, sizeof *drawn, (void **)&drawn, err));
    LEV_TRY(lev_mem_new((size_t)t.n, sizeof *t.grain, (void **)&t.grain, err));
    LEV_TRY(lev_mem_new((size_t)t.n, sizeof *t.new_um, (void **)&t.new_um, err));
    for (ptrdiff_t i = 0; i < t.n; i++)
        drawn[i] = draw(step, &l, rng, i);
    LEV_TRY(sort_into(t.grain, drawn, t.n, err));
    for (ptrdiff_t i = 0; i < t.n; i++)
        t.new_um[i] = t.grain[i].height_um;
    t.per_um2 = p->coverage /
                (LEV_PI / 4.0 * mean_square(l.median_um, p->ln_sigma, p->largest_um));
    dress(&t, step);
    *s = t;
    t = (sim_sheet){0};
out:
    lev_mem_free(drawn);
    sim_sheet_release(&t);
    return st;
}

void sim_sheet_release(sim_sheet *s)
{
    lev_mem_free(s->grain);
    lev_mem_free(s->new_um);
    *s = (sim_sheet){0};
}

ptrdiff_t sim_sheet_above(const sim_sheet *s, double height_um)
{
    ptrdiff_t low = 0, high = s->n;
    while (low < high) {
        const ptrdiff_t middle = low + (high - low) / 2;
        if (s->new_um[middle] > height_um)
            low = middle + 1;
        else
            high = middle;
    }
    return low;
}

/* Pressure carried with the sheet this high over a flat face. */
static double flat_pressure(const sim_sheet *s, const lev_sim_step *step,
                            double sheet_um, double *half_width_um)
{
    const ptrdiff_t n = sim_sheet_above(s, sheet_um);
    double force_un = 0.0, width_um = 0.0;
    for (ptrdiff_t i = 0; i < n; i++) {
        const sim_grain *g = &s->grain[i];
        const double b_um =
            sim_flat_depth_um(g, step->hardness_mpa, g->height_um - sheet_um);
        force_un +=
            LEV_PI / 2.0 * step->hardness_mpa * g->spread * g->spread * b_um * b_um;
        width_um += g->spread * b_um;
    }
    *half_width_um = n > 0 ? width_um / (double)n : 0.0;
    return force_un * s->per_um2 / (double)s->n;
}

sim_flat sim_flat_press(const sim_sheet *s, const lev_sim_step *step)
{
    const double wanted = step->pressure_kpa * LEV_PA_PER_KPA / LEV_PA_PER_MPA;
    const double tallest_um = s->new_um[0];
    sim_flat f = {.sheet_um = tallest_um};
    double low_um = tallest_um, step_um = 0.01 * tallest_um;
    while (flat_pressure(s, step, low_um, &f.half_width_um) < wanted) {
        low_um -= step_um;
        step_um *= 1.5;
    }
    double high_um = fmin(low_um + step_um, tallest_um);
    while (high_um - low_um > 1e-9 * tallest_um) {
        f.sheet_um = 0.5 * (low_um + high_um);
        if (flat_pressure(s, step, f.sheet_um, &f.half_width_um) < wanted)
            high_um = f.sheet_um;
        else
            low_um = f.sheet_um;
    }
    return f;
}
