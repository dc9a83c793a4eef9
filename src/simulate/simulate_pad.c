/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The sheet's shape in waves. Pressure p cos(k x) on an elastic layer held at its hard
 * back moves its surface by C(k) p, C = lev_cut_pad_give. A pad of finite side, free to
 * rise and tilt as it moves about, follows the share B(k) of a wave whatever it is made
 * of (lev_cut_pad_follows). Where the load changes by p / tail per height, following B
 * is what a give of tail / p B / (1 - B) does, so both add up. In balance the bulge of
 * each wave is its give times its load; each turn goes part of the way there, slowly
 * enough that the noise of single grains does not shake the sheet.
 *
 * The transform is Hartley's, real and its own inverse; taken along rows and then along
 * columns it mixes waves (k, l) and (k, -l) only, and what it is used with here knows
 * only their absolute values. */
#include <math.h>

#include "mem.h"
#include "num.h"
#include "pad.h"
#include "units.h"

static void fill_cas(double *cas, ptrdiff_t n)
{
    for (ptrdiff_t i = 0; i < n; i++) {
        for (ptrdiff_t k = 0; k < n; k++) {
            const double a = 2.0 * LEV_PI * (double)(i * k % n) / (double)n;
            cas[i * n + k] = (cos(a) + sin(a)) / sqrt((double)n);
        }
    }
}

/* out = rows and columns of `in` transformed; work: as many. */
static void transform(const sim_pad *p, const double *in, double *out)
{
    for (ptrdiff_t j = 0; j < p->ny; j++) {
        for (ptrdiff_t k = 0; k < p->nx; k++) {
            double sum = 0.0;
            for (ptrdiff_t i = 0; i < p->nx; i++)
                sum += p->cas_x[k * p->nx + i] * in[j * p->nx + i];
            p->work[j * p->nx + k] = sum;
        }
    }
    for (ptrdiff_t i = 0; i < p->n; i++)
        out[i] = 0.0;
    for (ptrdiff_t l = 0; l < p->ny; l++) {
        for (ptrdiff_t j = 0; j < p->ny; j++) {
            const double c = p->cas_y[l * p->ny + j];
            for (ptrdiff_t k = 0; k < p->nx; k++)
                out[l * p->nx + k] += c * p->work[j * p->nx + k];
        }
    }
}

/* Radians per um of element k of n over a length. */
static double wave_of(ptrdiff_t k, ptrdiff_t n, double length_um)
{
    return 2.0 * LEV_PI * (double)(2 * k > n ? n - k : k) / length_um;
}

static void fill_gives(sim_pad *p, const lev_sim_grid *g, const lev_sim_pad *pad)
{
    const double width_um = (double)g->nx * g->pitch_um;
    const double height_um = (double)g->ny * g->pitch_um;
    for (ptrdiff_t i = 0; i < p->n; i++) {
        const double kx = wave_of(i % p->nx, p->nx, width_um);
        const double ky = wave_of(i / p->nx, p->ny, height_um);
        const double k = hypot(kx, ky);
        p->give_um_mpa[i] = p->tilt[i] = 0.0;
        if (i > 0 && pad->modulus_mpa > 0.0)
            p->give_um_mpa[i] = lev_cut_pad_give(2.0 * LEV_PI / k, pad->thick_um,
                                                 pad->modulus_mpa, pad->poisson);
        if (i > 0 && pad->side_um > 0.0)
            p->tilt[i] = lev_cut_pad_follows(kx / (2.0 * LEV_PI), ky / (2.0 * LEV_PI),
                                             pad->side_um);
    }
}

static ptrdiff_t cells(ptrdiff_t points, ptrdiff_t most)
{
    const ptrdiff_t n = points / SIM_PAD_COLUMNS;
    return n < 1 ? 1 : n < most ? n : most;
}

lev_status sim_pad_init(sim_pad *p, const lev_sim_grid *g, const lev_sim_step *step,
                        lev_error *err)
{
    lev_status st;
    const bool sections = step->lay == LEV_LAY_SECTION;
    sim_pad t = {.nx = cells(g->nx, sections ? SIM_PAD_ROW : SIM_PAD_SIDE),
                 .ny = sections ? 1 : cells(g->ny, SIM_PAD_SIDE)};
    if (!(step->pad.modulus_mpa > 0.0) && !(step->pad.side_um > 0.0))
        return LEV_OK;
    t.n = t.nx * t.ny;
    t.cell_um2 =
        g->pitch_um * g->pitch_um * (double)g->nx * (double)g->ny / (double)t.n;
    const struct {
        double **at;
        ptrdiff_t n;
    } part[] = {{&t.bulge_um, t.n},      {&t.wave_um, t.n},      {&t.load, t.n},
                {&t.give_um_mpa, t.n},   {&t.tilt, t.n},         {&t.work, t.n},
                {&t.cas_x, t.nx * t.nx}, {&t.cas_y, t.ny * t.ny}};
    for (size_t i = 0; i < sizeof part / sizeof *part; i++)
        LEV_TRY(
            lev_mem_new((size_t)part[i].n, sizeof(double), (void **)part[i].at, err));
    fill_cas(t.cas_x, t.nx);
    fill_cas(t.cas_y, t.ny);
    fill_gives(&t, g, &step->pad);
    *p = t;
    t = (sim_pad){0};
out:
    sim_pad_release(&t);
    return st;
}

void sim_pad_release(sim_pad *p)
{
    lev_mem_free(p->bulge_um);
    lev_mem_free(p->wave_um);
    lev_mem_free(p->load);
    lev_mem_free(p->give_um_mpa);
    lev_mem_free(p->tilt);
    lev_mem_free(p->work);
    lev_mem_free(p->cas_x);
    lev_mem_free(p->cas_y);
    *p = (sim_pad){0};
}

static ptrdiff_t wrapped(ptrdiff_t i, ptrdiff_t n)
{
    return i < 0 ? i + n : i < n ? i : i - n;
}

double sim_pad_at(const sim_pad *p, double x, double y)
{
    if (p->n == 0)
        return 0.0;
    const double u = x * (double)p->nx + 0.5, v = y * (double)p->ny + 0.5;
    const ptrdiff_t i = (ptrdiff_t)u, j = (ptrdiff_t)v;
    const double fx = u - (double)i, fy = v - (double)j;
    const ptrdiff_t i0 = wrapped(i - 1, p->nx), i1 = wrapped(i, p->nx);
    const double *const a = p->bulge_um + wrapped(j - 1, p->ny) * p->nx;
    const double *const b = p->bulge_um + wrapped(j, p->ny) * p->nx;
    return (1.0 - fy) * (a[i0] + fx * (a[i1] - a[i0])) +
           fy * (b[i0] + fx * (b[i1] - b[i0]));
}

static ptrdiff_t cell_of(double x, ptrdiff_t n)
{
    const ptrdiff_t i = (ptrdiff_t)(x * (double)n);
    return i < n ? i : n - 1;
}

ptrdiff_t sim_pad_cell(const sim_pad *p, double x, double y)
{
    return cell_of(y, p->ny) * p->nx + cell_of(x, p->nx);
}

double sim_pad_low(const sim_pad *p, ptrdiff_t ix, ptrdiff_t iy)
{
    double low_um = p->bulge_um[iy * p->nx + ix];
    for (ptrdiff_t dj = -1; dj <= 1; dj++) {
        const double *const row = p->bulge_um + wrapped(iy + dj, p->ny) * p->nx;
        for (ptrdiff_t di = -1; di <= 1; di++)
            low_um = fmin(low_um, row[wrapped(ix + di, p->nx)]);
    }
    return low_um;
}

void sim_pad_turn(sim_pad *p, double share, double pressure_mpa, double tail_um)
{
    const double steep = pressure_mpa / tail_um, most = 1.0 - 1e-6;
    for (ptrdiff_t i = 0; i < p->n; i++)
        p->load[i] /= p->cell_um2 * p->slid_um;
    transform(p, p->load, p->bulge_um);
    for (ptrdiff_t i = 1; i < p->n; i++) {
        const double b = fmin(p->tilt[i], most);
        const double give = p->give_um_mpa[i] + b / (1.0 - b) / steep;
        p->wave_um[i] +=
            share / (1.0 + give * steep) * (give * p->bulge_um[i] - p->wave_um[i]);
    }
    p->wave_um[0] = 0.0;
    transform(p, p->wave_um, p->bulge_um);
    for (ptrdiff_t i = 0; i < p->n; i++)
        p->load[i] = 0.0;
    p->slid_um = 0.0;
    p->blocks = 0;
}

double sim_pad_rms_um(const sim_pad *p)
{
    double sum = 0.0;
    for (ptrdiff_t i = 0; i < p->n; i++)
        sum += p->bulge_um[i] * p->bulge_um[i];
    return p->n > 0 ? sqrt(sum / (double)p->n) : 0.0;
}
