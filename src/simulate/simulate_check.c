/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Defaults and bad input. */
#include <math.h>

#include "num.h"
#include "state.h"
#include "units.h"

static const double CLOSED_COAT = 0.6;     /* share of the sheet under grains */
static const double HEIGHT_SPREAD = 0.10;  /* of a tip's height over its size */
static const double HALF_ANGLE_DEG = 70.0; /* of a grain's cone */
static const double GREATEST_SIGMA = 3.0;  /* of the volume's spread, largest grain */
static const double RIDGE_WIDTH = 2.0;     /* over half the groove's (kernel.md) */
static const double RESOLVED = 1.0; /* columns in half a groove, least (kernel.md) */

static const double PAD_POISSON = 0.4; /* row poisson.pad of data/cut/coef.csv */

enum {
    SHEET_GRAINS = 1 << 18,
    MOST_GRAINS = 1 << 24,
    RECORDS = 32,
    MOST_RECORDS = 65536
};

typedef struct bound {
    const char *what;
    double value, low, high; /* low < value <= high */
} bound;

static lev_status check_bounds(const bound *b, size_t n, lev_error *err)
{
    for (size_t i = 0; i < n; i++) {
        if (!(b[i].value > b[i].low && b[i].value <= b[i].high))
            return lev_fail(err, LEV_E_RANGE, "%s %g is not in %g to %g", b[i].what,
                            b[i].value, fmax(b[i].low, 0.0), b[i].high);
    }
    return LEV_OK;
}

static double or_usual(double value, double usual)
{
    return value > 0.0 || value < 0.0 || isnan(value) ? value : usual;
}

static void fill_in(lev_sim_step *s)
{
    lev_sim_grains *g = &s->grains;
    g->largest_um =
        or_usual(g->largest_um, g->d50_um * exp(GREATEST_SIGMA * g->ln_sigma));
    g->coverage = or_usual(g->coverage, CLOSED_COAT);
    g->height_spread = or_usual(g->height_spread, HEIGHT_SPREAD);
    g->half_angle_rad = or_usual(g->half_angle_rad, HALF_ANGLE_DEG * LEV_PI / 180.0);
    g->count = g->count == 0 ? SHEET_GRAINS : g->count;
    s->removed_share = or_usual(s->removed_share, 1.0);
    s->ridge_width = or_usual(s->ridge_width, RIDGE_WIDTH);
    s->records = s->records == 0 ? RECORDS : s->records;
    s->pad.poisson = or_usual(s->pad.poisson, PAD_POISSON);
}

/* One grain's springs in a row: what carries it, and the pad through the sheet. */
static void soften(lev_sim_step *s)
{
    if (s->pad.modulus_mpa > 0.0)
        s->backing_mpa =
            1.0 / (1.0 / s->backing_mpa + s->pad.grain_share / s->pad.modulus_mpa);
    s->pad.grain_share = 0.0;
}

lev_status sim_step_check(const lev_sim_step *step, lev_sim_step *out, lev_error *err)
{
    lev_sim_step s = *step;
    fill_in(&s);
    const lev_sim_grains *g = &s.grains;
    const bool round = s.lay == LEV_LAY_ORBITAL || s.lay == LEV_LAY_ARCS;
    const double none = -1e-300;
    const bound bounds[] = {
        {"median grain size um", g->d50_um, 0.0, 1e4},
        {"spread of sizes", g->ln_sigma, none, 1.0},
        {"largest grain um", g->largest_um, 0.0, 1e6},
        {"coverage", g->coverage, 0.0, 1.0},
        {"spread of tip heights", g->height_spread, -1e300, 0.5},
        {"half-angle of a tip rad", g->half_angle_rad, 0.0, 1.56},
        {"spread of tip angles", g->angle_lnsd, none, 1.0},
        {"radius of a tip over its size", g->tip_round, none, 10.0},
        {"dressed share", g->dressed, none, 1.0},
        {"number of grains", (double)g->count, 0.0, MOST_GRAINS},
        {"hardness MPa", s.hardness_mpa, 0.0, 1e6},
        {"backing modulus MPa", s.backing_mpa, 0.0, 1e6},
        {"pressure kPa", s.pressure_kpa, 0.0, 1e4},
        {"removed share of a groove", s.removed_share, 0.0, 1.0},
        {"width of ridges", s.ridge_width, 0.0, 10.0},
        {"wear", s.wear, none, 1.0},
        {"angle of the lay rad", fabs(s.angle_rad), none, LEV_PI / 2.0},
        {"radius of the path um", round ? s.radius_um : 1.0, 0.0, 1e9},
        {"sliding distance m", s.distance_m, 0.0, 1e6},
        {"depth to stop at um", s.depth_um, none, 1e6},
        {"modulus of the pad MPa", s.pad.modulus_mpa, none, 1e6},
        {"thickness of the pad um", s.pad.thick_um, none, 1e7},
        {"Poisson's ratio of the pad", s.pad.poisson, 0.0, 0.499},
        {"side of the pad um", s.pad.side_um, none, 1e8},
        {"share of the pad one grain feels", s.pad.grain_share, none, 10.0},
        {"number of records", (double)s.records, 0.0, MOST_RECORDS},
    };
    if ((unsigned)s.lay > LEV_LAY_ARCS)
        return lev_fail(err, LEV_E_RANGE, "lay %d is not in 0 to %d", (int)s.lay,
                        (int)LEV_LAY_ARCS);
    const lev_status st = check_bounds(bounds, sizeof bounds / sizeof *bounds, err);
    if (st < 0)
        return st;
    soften(&s);
    *out = s;
    return LEV_OK;
}

lev_status sim_grid_check(const lev_sim_grid *grid, lev_sim_grid *out, lev_error *err)
{
    lev_sim_grid g = *grid;
    g.threads = g.threads == 0 ? 1 : g.threads;
    g.memory_bytes = g.memory_bytes == 0 ? (size_t)1 << 30 : g.memory_bytes;
    const bound bounds[] = {
        {"columns", (double)g.nx, 15.0, 1 << 24},
        {"rows", (double)g.ny, 0.0, 1 << 24},
        {"pitch um", g.pitch_um, 0.0, 1e6},
        {"threads", (double)g.threads, 0.0, 256.0},
        {"textures to follow", (double)g.textures, -0.5, LEV_SIM_TEXTURES},
    };
    const lev_status st = check_bounds(bounds, sizeof bounds / sizeof *bounds, err);
    if (st < 0)
        return st;
    const size_t bytes = lev_sim_bytes(&g);
    if (bytes > g.memory_bytes)
        return lev_fail(err, LEV_E_LIMIT,
                        "a map of %td x %td points takes %.4g MB, allowed are %.4g MB",
                        g.nx, g.ny, (double)bytes / 1e6, (double)g.memory_bytes / 1e6);
    *out = g;
    return LEV_OK;
}

double sim_pitch_of(const sim_sheet *sheet, const lev_sim_step *step)
{
    return sim_flat_press(sheet, step).half_width_um / RESOLVED;
}

lev_status lev_sim_pitch_um(const lev_sim_step *step, double *pitch_um, lev_error *err)
{
    lev_status st;
    lev_sim_step s;
    sim_sheet sheet = {0};

    LEV_TRY(sim_step_check(step, &s, err));
    LEV_TRY(sim_sheet_init(&sheet, &s, err));
    *pitch_um = sim_pitch_of(&sheet, &s);
out:
    sim_sheet_release(&sheet);
    return st;
}
