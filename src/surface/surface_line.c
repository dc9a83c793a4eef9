/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The deepest lines of a map: long narrow marks, found as lines and not as a quantile.
 *
 * Depth below the neighbourhood -> line filter in every direction -> ridges of its
 * answer above what a surface without lines would give -> pieces joined where they
 * touch and agree in direction -> strongest first, a straight line through each, its
 * ends where the mark becomes shallower than half; points of a line already taken do
 * not speak for another -> collinear lines joined. A big map is searched on block means
 * of at most SEARCH_MAX points a side; depths are read from the map itself. */
#include "surface_lines.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "mem.h"
#include "surface_inner.h"
#include "units.h"

enum { SEARCH_MAX = 1024, PIECES_MAX = 4000, DIRECTIONS_MAX = 256, SIDE_MIN = 16 };

/* Sums over the points of one piece, for its straight line. */
typedef struct piece_sums {
    double w, x, y, xx, yy, xy;
    ptrdiff_t n;
    float peak; /* strongest answer among them */
} piece_sums;

typedef struct finder {
    const lev_map *m; /* heights */
    double mean_um;   /* of them */
    lev_map depth;    /* searched: depth below the neighbourhood */
    lev_response r;
    double floor_um;
    int *stack;
    unsigned char *mark;  /* 1 = ridge not yet in a piece */
    unsigned char *taken; /* 1 = belongs to a line already found */
    piece_sums *piece;
    ptrdiff_t pieces;
    lev_line *line;
    ptrdiff_t n;
} finder;

static void finder_release(finder *f)
{
    lev_map_release(&f->depth);
    lev_mem_free(f->r.best);
    lev_mem_free(f->r.direction);
    lev_mem_free(f->r.sum);
    lev_mem_free(f->r.spread);
    lev_mem_free(f->stack);
    lev_mem_free(f->mark);
    lev_mem_free(f->taken);
    lev_mem_free(f->piece);
    lev_mem_free(f->line);
}

/* Block means of `by` x `by` points; a block with a missing point keeps the rest. */
static lev_status shrink(const lev_map *m, ptrdiff_t by, lev_map *out, lev_error *err)
{
    const lev_status st = lev_map_init(
        out, m->nx / by, m->ny / by, m->dx_um * (double)by, m->dy_um * (double)by, err);
    for (ptrdiff_t at = 0; st == LEV_OK && at < out->nx * out->ny; at++) {
        double sum = 0.0;
        int n = 0;
        for (ptrdiff_t k = 0; k < by * by; k++) {
            const float z = m->z_um[(at / out->nx * by + k / by) * m->nx +
                                    at % out->nx * by + k % by];
            if (isnan(z))
                continue;
            sum += (double)z;
            n++;
        }
        out->z_um[at] = n > 0 ? (float)(sum / n) : NAN;
    }
    return st;
}

/* Depth below a Gaussian mean surface of three times the least line length. */
static lev_status find_depth(finder *f, lev_error *err)
{
    lev_status st = LEV_OK;
    lev_map small = {0}, mean = {0};
    const ptrdiff_t longer = f->m->nx > f->m->ny ? f->m->nx : f->m->ny;
    const double side =
        fmin((double)f->m->nx * f->m->dx_um, (double)f->m->ny * f->m->dy_um);
    const ptrdiff_t shorter = f->m->nx < f->m->ny ? f->m->nx : f->m->ny;
    const ptrdiff_t by = (longer + SEARCH_MAX - 1) / SEARCH_MAX;
    LEV_TRY(
        shrink(f->m, by < shorter / SIDE_MIN ? by : shorter / SIDE_MIN, &small, err));
    f->r.length_um = fmin(lev_texture("line_length_um"), 0.3 * side);
    const lev_filter g = {.cutoff_um = fmax(fmin(3.0 * f->r.length_um, 0.5 * side),
                                            4.0 * fmax(small.dx_um, small.dy_um))};
    LEV_TRY(lev_map_filter(&small, &g, &mean, err));
    for (ptrdiff_t i = 0; i < small.nx * small.ny; i++)
        small.z_um[i] = mean.z_um[i] - small.z_um[i];
    f->depth = small;
    small = (lev_map){0};
out:
    lev_map_release(&small);
    lev_map_release(&mean);
    return st;
}

static lev_status respond(finder *f, lev_error *err)
{
    lev_status st = LEV_OK;
    void *p = NULL;
    const ptrdiff_t n = f->depth.nx * f->depth.ny;
    const ptrdiff_t longer = f->depth.nx > f->depth.ny ? f->depth.nx : f->depth.ny;
    LEV_TRY(lev_mem_new((size_t)n, sizeof(float), &p, err));
    f->r.best = p;
    LEV_TRY(lev_mem_new((size_t)n, 1, &p, err));
    f->r.direction = p;
    LEV_TRY(lev_mem_new(2 * (size_t)(longer + 1), sizeof(double), &p, err));
    f->r.sum = p;
    f->r.count = f->r.sum + longer + 1;
    f->r.depth = &f->depth;
    f->r.directions = (int)nearbyint(180.0 / lev_texture("line_step_deg"));
    LEV_TRY(lev_mem_new(DIRECTIONS_MAX, sizeof(double), &p, err));
    f->r.spread = p;
    lev_respond(&f->r);
out:
    return st;
}

/* What the line filter answers at most on a surface without lines: a multiple of its
 * spread in the direction where that is least. A lay, or a few deep lines, fill only
 * some directions; square to them their depth averages out. */
static void find_floor(finder *f)
{
    double least = (double)INFINITY;
    for (int k = 0; k < f->r.directions; k++)
        least = fmin(least, f->r.spread[k]);
    f->floor_um = lev_texture("line_contrast") * least;
}

static double turn_of(const finder *f, int direction)
{
    return (double)direction * LEV_PI / f->r.directions;
}

/* Keep a point when no neighbour across its line answers more. */
static bool is_ridge(const finder *f, ptrdiff_t x, ptrdiff_t y)
{
    const ptrdiff_t at = y * f->depth.nx + x;
    const float here = f->r.best[at];
    if (!((double)here > f->floor_um))
        return false;
    const double turn = turn_of(f, f->r.direction[at]);
    for (int side = -2; side <= 2; side++) {
        const ptrdiff_t i = x + (ptrdiff_t)nearbyint(-sin(turn) * side);
        const ptrdiff_t j = y + (ptrdiff_t)nearbyint(cos(turn) * side);
        if (i >= 0 && i < f->depth.nx && j >= 0 && j < f->depth.ny &&
            f->r.best[j * f->depth.nx + i] > here)
            return false;
    }
    return true;
}

/* Difference of two directions in steps, whichever way round. */
static int steps_between(const finder *f, int a, int b)
{
    const int d = abs(a - b);
    return d < f->r.directions - d ? d : f->r.directions - d;
}

/* Take every ridge point within reach that agrees in direction with its neighbour. */
static piece_sums take_piece(finder *f, ptrdiff_t start)
{
    enum { REACH = 2, SQUARE = 2 * REACH + 1 };
    piece_sums s = {0};
    const ptrdiff_t nx = f->depth.nx;
    const int most =
        (int)(lev_texture("line_turn_deg") * f->r.directions / 180.0 + 0.5);
    ptrdiff_t top = 0;
    f->stack[top++] = (int)start;
    f->mark[start] = 0;
    while (top > 0) {
        const ptrdiff_t at = f->stack[--top], x = at % nx, y = at / nx;
        const double px = (double)x * f->depth.dx_um, py = (double)y * f->depth.dy_um;
        s.w += 1.0;
        s.x += px;
        s.y += py;
        s.xx += px * px;
        s.yy += py * py;
        s.xy += px * py;
        s.n++;
        s.peak = f->r.best[at] > s.peak ? f->r.best[at] : s.peak;
        for (int k = 0; k < SQUARE * SQUARE; k++) {
            const ptrdiff_t i = x + k % SQUARE - REACH;
            const ptrdiff_t j = y + k / SQUARE - REACH;
            if (i < 0 || i >= nx || j < 0 || j >= f->depth.ny)
                continue;
            const ptrdiff_t to = j * nx + i;
            if (!f->mark[to] ||
                steps_between(f, f->r.direction[at], f->r.direction[to]) > most)
                continue;
            f->mark[to] = 0;
            f->stack[top++] = (int)to;
        }
    }
    return s;
}

/* Largest depth in the searched map within `wide` points across; -infinity where the
 * points belong to another line, NaN outside the map. */
static double depth_near(const finder *f, double x_um, double y_um, double turn,
                         int wide)
{
    double deepest = -(double)INFINITY;
    bool inside = false;
    const double step = fmin(f->depth.dx_um, f->depth.dy_um);
    for (int side = -wide; side <= wide; side++) {
        const double x = (x_um - sin(turn) * side * step) / f->depth.dx_um;
        const double y = (y_um + cos(turn) * side * step) / f->depth.dy_um;
        const ptrdiff_t i = (ptrdiff_t)nearbyint(x), j = (ptrdiff_t)nearbyint(y);
        if (i < 0 || i >= f->depth.nx || j < 0 || j >= f->depth.ny)
            continue;
        const ptrdiff_t at = j * f->depth.nx + i;
        inside = true;
        if (!f->taken[at] && (double)f->depth.z_um[at] > deepest)
            deepest = (double)f->depth.z_um[at];
    }
    return inside ? deepest : (double)NAN;
}

/* Follow the line from (x, y) one way until a window of it is shallower than half of
 * `usual`; returns the distance of the last point that was not. */
static double follow(const finder *f, double x, double y, double turn, double way,
                     double usual)
{
    enum { WINDOW = 5 };
    const double step = fmin(f->depth.dx_um, f->depth.dy_um);
    double reach = 0.0, recent = usual;
    for (double d = step;; d += step) {
        const double z =
            depth_near(f, x + way * d * cos(turn), y + way * d * sin(turn), turn, 1);
        if (isnan(z))
            return reach;
        if (isinf(z))
            continue; /* crossing another line */
        recent += (z - recent) / WINDOW;
        if (z >= 0.5 * usual)
            reach = d;
        if (recent < 0.5 * usual)
            return reach;
    }
}

/* Deepest point of the map itself, below its mean, along a line. */
static double deepest_on(const finder *f, const lev_line *l)
{
    const double length = hypot(l->x1_um - l->x0_um, l->y1_um - l->y0_um);
    const double step = 0.5 * fmin(f->m->dx_um, f->m->dy_um);
    const double ux = length > 0.0 ? (l->x1_um - l->x0_um) / length : 0.0;
    const double uy = length > 0.0 ? (l->y1_um - l->y0_um) / length : 0.0;
    const double across = fmin(f->depth.dx_um, f->depth.dy_um);
    const ptrdiff_t steps = (ptrdiff_t)(length / step);
    const ptrdiff_t sides = (ptrdiff_t)(across / step);
    double low = (double)NAN;
    for (ptrdiff_t k = 0; k <= steps; k++) {
        for (ptrdiff_t m = -sides; m <= sides; m++) {
            const double d = (double)k * step, side = (double)m * step;
            const ptrdiff_t i =
                (ptrdiff_t)nearbyint((l->x0_um + d * ux - side * uy) / f->m->dx_um);
            const ptrdiff_t j =
                (ptrdiff_t)nearbyint((l->y0_um + d * uy + side * ux) / f->m->dy_um);
            if (i >= 0 && i < f->m->nx && j >= 0 && j < f->m->ny)
                low = fmin(low, (double)f->m->z_um[j * f->m->nx + i]);
        }
    }
    return f->mean_um - low;
}

/* Mean depth on the line itself, points of other lines left out; 0 when none is left.
 */
static double mean_depth_on(const finder *f, double x, double y, double turn,
                            double from, double to, int wide)
{
    const double step = fmin(f->depth.dx_um, f->depth.dy_um);
    const ptrdiff_t steps = (ptrdiff_t)((to - from) / step);
    double sum = 0.0, n = 0.0;
    for (ptrdiff_t k = 0; k <= steps; k++) {
        const double d = from + (double)k * step;
        const double z =
            depth_near(f, x + d * cos(turn), y + d * sin(turn), turn, wide);
        if (!isfinite(z))
            continue;
        sum += z;
        n += 1.0;
    }
    return n > 0.0 ? sum / n : 0.0;
}

static double degrees(double turn)
{
    return fmod(turn * 180.0 / LEV_PI + 360.0, 180.0);
}

/* From the middle of the first block to the first sample of the map. */
static void shift_to_map(const finder *f, lev_line *l)
{
    const double dx = 0.5 * (f->depth.dx_um - f->m->dx_um);
    const double dy = 0.5 * (f->depth.dy_um - f->m->dy_um);
    l->x0_um += dx;
    l->x1_um += dx;
    l->y0_um += dy;
    l->y1_um += dy;
}

/* The straight line of a piece, with its ends and depths. */
static lev_line line_of(const finder *f, const piece_sums *s)
{
    const double x = s->x / s->w, y = s->y / s->w;
    const double xx = s->xx / s->w - x * x, yy = s->yy / s->w - y * y;
    const double xy = s->xy / s->w - x * y;
    const double turn = 0.5 * atan2(2.0 * xy, xx - yy);
    const double spread = sqrt(fmax(0.0, 0.5 * (xx + yy + hypot(xx - yy, 2.0 * xy))));
    const double usual = mean_depth_on(f, x, y, turn, -spread, spread, 1);
    const double ahead = follow(f, x, y, turn, 1.0, usual);
    const double behind = follow(f, x, y, turn, -1.0, usual);
    lev_line l = {.direction_deg = degrees(turn),
                  .length_mm = (ahead + behind) / LEV_UM_PER_MM,
                  .x0_um = x - behind * cos(turn),
                  .y0_um = y - behind * sin(turn),
                  .x1_um = x + ahead * cos(turn),
                  .y1_um = y + ahead * sin(turn)};
    l.mean_depth_um = mean_depth_on(f, x, y, turn, -behind, ahead, 0);
    shift_to_map(f, &l);
    l.depth_um = deepest_on(f, &l);
    return l;
}

static lev_status find_pieces(finder *f, lev_error *err)
{
    lev_status st = LEV_OK;
    void *p = NULL;
    const ptrdiff_t n = f->depth.nx * f->depth.ny;
    LEV_TRY(lev_mem_new((size_t)n, sizeof(int), &p, err));
    f->stack = p;
    LEV_TRY(lev_mem_new((size_t)n, 1, &p, err));
    f->mark = p;
    LEV_TRY(lev_mem_new(PIECES_MAX, sizeof *f->piece, &p, err));
    f->piece = p;
    for (ptrdiff_t i = 0; i < n; i++)
        f->mark[i] = is_ridge(f, i % f->depth.nx, i / f->depth.nx);
    for (ptrdiff_t i = 0; i < n && f->pieces < PIECES_MAX; i++) {
        if (!f->mark[i])
            continue;
        const piece_sums s = take_piece(f, i);
        if (s.n >= 3)
            f->piece[f->pieces++] = s;
    }
out:
    return st;
}

static int stronger_first(const void *a, const void *b)
{
    const piece_sums *x = a, *y = b;
    return (x->peak < y->peak) - (x->peak > y->peak);
}

/* From a point of the line outwards: taken while the mark is deeper than half, and a
 * few points in any case. */
static void take_flank(finder *f, double x_um, double y_um, double ux, double uy,
                       double depth_um)
{
    enum { LEAST = 6, MOST = 400 }; /* half steps */
    const double step = 0.5 * fmin(f->depth.dx_um, f->depth.dy_um);
    for (int k = 0; k < MOST; k++) {
        const ptrdiff_t i =
            (ptrdiff_t)nearbyint((x_um + k * step * ux) / f->depth.dx_um);
        const ptrdiff_t j =
            (ptrdiff_t)nearbyint((y_um + k * step * uy) / f->depth.dy_um);
        if (i < 0 || i >= f->depth.nx || j < 0 || j >= f->depth.ny)
            return;
        const ptrdiff_t at = j * f->depth.nx + i;
        if (k > LEAST && (double)f->depth.z_um[at] < 0.5 * depth_um)
            return;
        f->taken[at] = 1;
    }
}

/* The points of a line speak for no other from now on. */
static void take_band(finder *f, const lev_line *l)
{
    const double turn = l->direction_deg * LEV_PI / 180.0;
    const double step = 0.5 * fmin(f->depth.dx_um, f->depth.dy_um);
    const double length = l->length_mm * LEV_UM_PER_MM;
    const double ux = length > 0.0 ? (l->x1_um - l->x0_um) / length : cos(turn);
    const double uy = length > 0.0 ? (l->y1_um - l->y0_um) / length : sin(turn);
    const double shift_x = 0.5 * (f->depth.dx_um - f->m->dx_um);
    const double shift_y = 0.5 * (f->depth.dy_um - f->m->dy_um);
    const ptrdiff_t steps = (ptrdiff_t)(length / step);
    for (ptrdiff_t k = 0; k <= steps; k++) {
        const double d = (double)k * step;
        const double x = l->x0_um - shift_x + d * ux, y = l->y0_um - shift_y + d * uy;
        take_flank(f, x, y, -uy, ux, l->mean_depth_um);
        take_flank(f, x, y, uy, -ux, l->mean_depth_um);
    }
}

static lev_status find_lines(finder *f, lev_error *err)
{
    lev_status st = LEV_OK;
    void *p = NULL;
    LEV_TRY(lev_mem_new((size_t)(f->depth.nx * f->depth.ny), 1, &p, err));
    f->taken = p;
    LEV_TRY(lev_mem_new(PIECES_MAX, sizeof *f->line, &p, err));
    f->line = p;
    if (f->pieces > 0)
        qsort(f->piece, (size_t)f->pieces, sizeof *f->piece, stronger_first);
    for (ptrdiff_t i = 0; i < f->pieces; i++) {
        const lev_line l = line_of(f, &f->piece[i]);
        if (l.length_mm * LEV_UM_PER_MM < 0.7 * f->r.length_um ||
            !(l.mean_depth_um > f->floor_um) || !(l.depth_um > 0.0))
            continue;
        take_band(f, &l);
        f->line[f->n++] = l;
    }
out:
    return st;
}

/* Do two pieces continue each other? Directions agree, the gap between the nearest
 * ends is short, and it runs along both. */
static bool continues(const finder *f, const lev_line *a, const lev_line *b)
{
    const double turn = lev_texture("line_turn_deg");
    const double d = fabs(a->direction_deg - b->direction_deg);
    if (fmin(d, 180.0 - d) > turn)
        return false;
    const double ux = cos(a->direction_deg * LEV_PI / 180.0),
                 uy = sin(a->direction_deg * LEV_PI / 180.0);
    const double from = (b->x0_um - a->x0_um) * ux + (b->y0_um - a->y0_um) * uy;
    const double to = (b->x1_um - a->x0_um) * ux + (b->y1_um - a->y0_um) * uy;
    const double length = a->length_mm * LEV_UM_PER_MM;
    const double gap = fmax(fmin(from, to) - length, -fmax(from, to));
    const double mx = 0.5 * (b->x0_um + b->x1_um) - a->x0_um,
                 my = 0.5 * (b->y0_um + b->y1_um) - a->y0_um;
    const double side = fabs(mx * uy - my * ux);
    return gap <= lev_texture("line_gap") * f->r.length_um &&
           side <= 3.0 * fmax(f->depth.dx_um, f->depth.dy_um);
}

/* a := the line from end to end of both. */
static void unite(lev_line *a, const lev_line *b)
{
    const double px[4] = {a->x0_um, a->x1_um, b->x0_um, b->x1_um};
    const double py[4] = {a->y0_um, a->y1_um, b->y0_um, b->y1_um};
    double longest = -1.0;
    const double share = b->length_mm / (a->length_mm + b->length_mm);
    a->mean_depth_um += share * (b->mean_depth_um - a->mean_depth_um);
    a->depth_um = fmax(a->depth_um, b->depth_um);
    for (int i = 0; i < 4; i++) {
        for (int j = i + 1; j < 4; j++) {
            const double d = hypot(px[j] - px[i], py[j] - py[i]);
            if (d <= longest)
                continue;
            longest = d;
            a->x0_um = px[i];
            a->y0_um = py[i];
            a->x1_um = px[j];
            a->y1_um = py[j];
        }
    }
    a->length_mm = longest / LEV_UM_PER_MM;
    a->direction_deg = degrees(atan2(a->y1_um - a->y0_um, a->x1_um - a->x0_um));
}

static void join_lines(finder *f)
{
    for (ptrdiff_t i = 0; i < f->n; i++) {
        for (ptrdiff_t j = i + 1; j < f->n; j++) {
            if (!continues(f, &f->line[i], &f->line[j]))
                continue;
            unite(&f->line[i], &f->line[j]);
            f->line[j] = f->line[--f->n];
            j = i; /* the longer line may reach others */
        }
    }
}

lev_status lev_lines_of_map(const lev_map *m, ptrdiff_t most, lev_lines *out,
                            lev_error *err)
{
    lev_status st = LEV_OK;
    finder f = {.m = m};
    lev_heights h;
    lev_lines l = {0};
    if (m->nx < SIDE_MIN || m->ny < SIDE_MIN)
        LEV_TRY(lev_fail(err, LEV_E_RANGE,
                         "lines in a map of %td x %td points; at least %d x %d", m->nx,
                         m->ny, SIDE_MIN, SIDE_MIN));
    LEV_TRY(lev_map_heights(m, &h, err));
    f.mean_um = h.mean_um;
    LEV_TRY(find_depth(&f, err));
    LEV_TRY(respond(&f, err));
    find_floor(&f);
    LEV_TRY(find_pieces(&f, err));
    LEV_TRY(find_lines(&f, err));
    join_lines(&f);
    l.floor_um = f.floor_um;
    LEV_TRY(lev_lines_take(f.line, f.n, most, &l, err));
    *out = l;
out:
    finder_release(&f);
    return st;
}
