/* SPDX-License-Identifier: GPL-3.0-or-later */
/* See path.h. Grains lie evenly on the sheet, so paths are even over the map. */
#include "path.h"

#include <math.h>

#include "units.h"

/* One period of the map along the steeper coordinate, at this angle to the columns. */
static sim_path line(const sim_lay *l, double angle_rad, const double u[4])
{
    sim_path p = {.n = 1};
    const bool by_rows = fabs(tan(angle_rad)) <= 1.0;
    p.piece[0] = (sim_piece){
        .by_rows = by_rows,
        .from = 0.0,
        .to = (double)(by_rows ? l->ny : l->nx),
        .offset = u[0] * (double)(by_rows ? l->nx : l->ny),
        .slope = by_rows ? tan(angle_rad) : 1.0 / tan(angle_rad),
    };
    return p;
}

static sim_piece quarter(double cx, double cy, double radius, int i)
{
    const bool by_rows = i < 2;
    const double centre = by_rows ? cy : cx;
    return (sim_piece){
        .by_rows = by_rows,
        .from = centre - radius / sqrt(2.0),
        .to = centre + radius / sqrt(2.0),
        .offset = by_rows ? cx : cy,
        .radius = radius,
        .centre = centre,
        .side = i % 2 == 0 ? 1.0 : -1.0,
    };
}

static sim_path circle(double cx, double cy, double radius)
{
    sim_path p = {.n = SIM_PIECES};
    for (int i = 0; i < SIM_PIECES; i++)
        p.piece[i] = quarter(cx, cy, radius, i);
    return p;
}

/* From the middle of the map to its corners. */
static double farthest(const sim_lay *l)
{
    return 0.5 * hypot((double)l->nx, (double)l->ny);
}

sim_path sim_path_of(const sim_lay *l, const double u[4], uint64_t stroke)
{
    const double cx = u[0] * (double)l->nx, cy = u[1] * (double)l->ny;
    switch (l->lay) {
    case LEV_LAY_CROSS:
        return line(l, stroke % 2 == 0 ? l->angle_rad : -l->angle_rad, u);
    case LEV_LAY_ORBITAL:
        return circle(cx, cy, l->radius);
    case LEV_LAY_CIRCULAR:
        return circle(0.5 * (double)l->nx, 0.5 * (double)l->ny, u[0] * farthest(l));
    case LEV_LAY_ARCS: {
        sim_path p = {.n = 1};
        p.piece[0] = quarter(cx, cy, l->radius, (int)(u[2] * SIM_PIECES));
        return p;
    }
    case LEV_LAY_SECTION:
    case LEV_LAY_STRAIGHT:
        break;
    }
    return line(l, l->angle_rad, u);
}

double sim_path_rate(const sim_lay *l)
{
    const double area = (double)l->nx * (double)l->ny;
    const double c = fmax(fabs(cos(l->angle_rad)), fabs(sin(l->angle_rad)));
    switch (l->lay) {
    case LEV_LAY_ORBITAL:
        return area / (2.0 * LEV_PI * l->radius);
    case LEV_LAY_CIRCULAR:
        return farthest(l);
    case LEV_LAY_ARCS:
        return area / (0.5 * LEV_PI * l->radius);
    case LEV_LAY_SECTION:
        return (double)l->nx;
    case LEV_LAY_STRAIGHT:
    case LEV_LAY_CROSS:
        break;
    }
    const bool by_rows = fabs(tan(l->angle_rad)) <= 1.0;
    return (by_rows ? (double)l->nx : (double)l->ny) * c;
}

double sim_piece_at(const sim_piece *p, double u, double *cosine)
{
    if (p->radius > 0.0) {
        const double d = u - p->centre;
        const double rise = sqrt(fmax(p->radius * p->radius - d * d, 0.0));
        *cosine = rise / p->radius;
        return p->offset + p->side * rise;
    }
    *cosine = 1.0 / sqrt(1.0 + p->slope * p->slope);
    return p->offset + p->slope * u;
}
