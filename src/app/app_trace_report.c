/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The report page of a measured face: numbers, profile and its parts or the height map
 * with its deepest lines, material ratio curve. */
#include <math.h>
#include <string.h>

#include "app_backend.h"
#include "app_trace.h"
#include "arena.h"
#include "levigate/levigate.h"
#include "units.h"

enum {
    CURVE_POINTS = 201,
    PIXELS_MOST = 1200,
    LINES_MOST = 20,
    DEEPEST_MOST = 5,
    TEXTS_MOST = 60
};

typedef struct page {
    const lev_trace_answer *a;
    lev_arena arena;
    lev_card_figure figure[4];
    ptrdiff_t figures;
    lev_card_series series[LINES_MOST + 5];
    ptrdiff_t n;
    const char *text[TEXTS_MOST];
    ptrdiff_t texts;
} page;

static lev_status new_numbers(page *p, ptrdiff_t n, double **out, lev_error *err)
{
    void *q = NULL;
    const lev_status st = lev_arena_new(&p->arena, (size_t)n, sizeof(double), &q, err);
    *out = q;
    return q != NULL || st < 0 ? st : LEV_E_MEMORY;
}

/* A profile over millimetres, beginning at start_um. */
static lev_status add_profile(page *p, const char *name, const lev_trace *t,
                              double start_um, lev_error *err)
{
    lev_status st = LEV_OK;
    double *x = NULL, *y = NULL;
    LEV_TRY(new_numbers(p, t->n, &x, err));
    LEV_TRY(new_numbers(p, t->n, &y, err));
    for (ptrdiff_t i = 0; i < t->n; i++) {
        x[i] = (start_um + (double)i * t->dx_um) / LEV_UM_PER_MM;
        y[i] = t->z_um[i];
    }
    p->series[p->n++] = (lev_card_series){.name = name, .x = x, .y = y, .n = t->n};
out:
    return st;
}

static void add_figure(page *p, const char *title, const char *x, const char *y,
                       ptrdiff_t first)
{
    p->figure[p->figures++] = (lev_card_figure){.title = title,
                                                .x = {.label = x},
                                                .y = {.label = y},
                                                .series = p->series + first,
                                                .n = p->n - first,
                                                .height_mm = 28.0};
}

static lev_status add_curve(page *p, lev_error *err)
{
    lev_status st = LEV_OK;
    lev_ratio r = {0};
    double *x = NULL, *y = NULL;
    const ptrdiff_t first = p->n;
    LEV_TRY(p->a->is_map ? lev_ratio_of_map(&p->a->areal.surface, &r, err)
                         : lev_ratio_of_trace(&p->a->profile.roughness, &r, err));
    LEV_TRY(new_numbers(p, CURVE_POINTS, &x, err));
    LEV_TRY(new_numbers(p, CURVE_POINTS, &y, err));
    for (int i = 0; i < CURVE_POINTS; i++) {
        const double m = (double)i / (CURVE_POINTS - 1);
        x[i] = 100.0 * m;
        y[i] = lev_ratio_height(&r, m);
    }
    p->series[p->n++] = (lev_card_series){.x = x, .y = y, .n = CURVE_POINTS};
    add_figure(p, "Material ratio curve", "share of the face at or above, %",
               "height, \xC2\xB5m", first);
out:
    lev_ratio_release(&r);
    return st;
}

/* Where a deep line was crossed, and how deep. */
static lev_status add_dale(page *p, const lev_line *l, bool named, lev_error *err)
{
    lev_status st = LEV_OK;
    double *x = NULL;
    LEV_TRY(new_numbers(p, 4, &x, err));
    x[0] = x[1] = 0.5 * (l->x0_um + l->x1_um) / LEV_UM_PER_MM;
    x[2] = 0.0;
    x[3] = -l->depth_um;
    p->series[p->n++] = (lev_card_series){.name = named ? "deepest lines" : NULL,
                                          .x = x,
                                          .y = x + 2,
                                          .n = 2,
                                          .dashed = true};
out:
    return st;
}

static lev_status trace_figures(page *p, lev_error *err)
{
    lev_status st = LEV_OK;
    const lev_profile_result *r = &p->a->profile;
    if (r->waviness.n > 0) {
        LEV_TRY(add_profile(p, "profile, form taken off", &r->primary, 0.0, err));
        LEV_TRY(add_profile(p, "mean line", &r->waviness, 0.0, err));
        p->series[p->n - 1].dashed = true;
        add_figure(p, "Profile and mean line", "mm", "\xC2\xB5m", 0);
    }
    const ptrdiff_t first = p->n;
    LEV_TRY(add_profile(p, "roughness", &r->roughness, r->start_um, err));
    for (ptrdiff_t i = 0; i < p->a->lines.n && i < DEEPEST_MOST; i++)
        LEV_TRY(add_dale(p, &p->a->lines.line[i], i == 0, err));
    add_figure(p, "Roughness profile", "mm", "\xC2\xB5m", first);
out:
    return st;
}

/* Heights as grey, the lowest black, a missing point white; every k-th point. */
static lev_status map_image(page *p, lev_card_image *out, lev_error *err)
{
    const lev_map *m = &p->a->areal.surface;
    const lev_heights *h = &p->a->areal.a.h;
    const ptrdiff_t longer = m->nx > m->ny ? m->nx : m->ny;
    const ptrdiff_t k = (longer + PIXELS_MOST - 1) / PIXELS_MOST;
    const ptrdiff_t w = (m->nx + k - 1) / k, rows = (m->ny + k - 1) / k;
    void *q = NULL;
    const lev_status st = lev_arena_new(&p->arena, (size_t)(w * rows), 1, &q, err);
    if (st < 0)
        return st;
    unsigned char *pixel = q;
    const double low = h->mean_um - h->Sv_um;
    for (ptrdiff_t i = 0; i < w * rows; i++) {
        const double z = (double)m->z_um[i / w * k * m->nx + i % w * k];
        const double u = h->Sz_um > 0.0 ? (z - low) / h->Sz_um : 0.5;
        pixel[i] = isnan(z) ? 255 : (unsigned char)(250.0 * fmin(fmax(u, 0.0), 1.0));
    }
    *out = (lev_card_image){pixel, w, rows, w, 1};
    return LEV_OK;
}

static lev_status map_figures(page *p, lev_error *err)
{
    lev_status st = LEV_OK;
    const lev_map *m = &p->a->areal.surface;
    const double wide = (double)m->nx * m->dx_um / LEV_UM_PER_MM;
    const double high = (double)m->ny * m->dy_um / LEV_UM_PER_MM;
    for (ptrdiff_t i = 0; i < p->a->lines.n && i < LINES_MOST; i++) {
        const lev_line *l = &p->a->lines.line[i];
        double *x = NULL;
        LEV_TRY(new_numbers(p, 4, &x, err));
        x[0] = l->x0_um / LEV_UM_PER_MM;
        x[1] = l->x1_um / LEV_UM_PER_MM;
        x[2] = high - l->y0_um / LEV_UM_PER_MM; /* the first row stands on top */
        x[3] = high - l->y1_um / LEV_UM_PER_MM;
        p->series[p->n++] =
            (lev_card_series){.x = x, .y = x + 2, .n = 2, .dashed = true};
    }
    add_figure(p, "Height map, low is dark; deepest lines dashed", "mm",
               "mm from the last row", 0);
    lev_card_figure *f = &p->figure[p->figures - 1];
    f->x.to = wide;
    f->y.to = high;
    f->height_mm = fmin(95.0, 145.0 * high / wide);
    LEV_TRY(map_image(p, &f->image, err));
out:
    return st;
}

/* The text of the answer, a line at a time. */
static lev_status page_text(page *p, lev_error *err)
{
    lev_status st = LEV_OK;
    lev_text t = {0};
    lev_app_trace_text(p->a, LEV_UNITS_METRIC, &t);
    LEV_TRY(t.st);
    const char *s = lev_text_get(&t);
    while (*s != '\0' && p->texts < TEXTS_MOST) {
        const size_t n = strcspn(s, "\n");
        if (n > 0)
            LEV_TRY(lev_arena_text(&p->arena, s, n, &p->text[p->texts++], err));
        s += n + (s[n] == '\n');
    }
out:
    lev_text_release(&t);
    return st;
}

static lev_status draw(const page *p, const char *path, lev_error *err)
{
    lev_status st = LEV_OK;
    const lev_card_api *card = NULL;
    char today[11], version[40] = "levigate ";
    lev_drawing d = {.sink = {.fd = -1}};
    lev_today(today);
    strncat(version, lev_version(), sizeof version - strlen(version) - 1);
    const lev_card_report view = {
        .head = {.title = "A face measured", .date = today, .version = version},
        .text = {p->text, p->texts},
        .figure = p->figure,
        .figures = p->figures,
        .foot = "Missing points are left out, never filled in. Parameters of profiles "
                "and of areas are not comparable with each other."};
    LEV_TRY(lev_backend_card(&card, err));
    LEV_TRY(lev_drawing_open(&d, path, err));
    LEV_TRY(card->report(&view, &d.out, err));
    LEV_TRY(lev_drawing_commit(&d, err));
out:
    lev_drawing_release(&d);
    return st;
}

lev_status lev_app_trace_report(const lev_trace_answer *a, const char *path,
                                lev_error *err)
{
    lev_status st = LEV_OK;
    lev_card_format format;
    page p = {.a = a};
    LEV_TRY(lev_backend_format(path, &format, err));
    LEV_TRY(page_text(&p, err));
    LEV_TRY(a->is_map ? map_figures(&p, err) : trace_figures(&p, err));
    LEV_TRY(add_curve(&p, err));
    LEV_TRY(draw(&p, path, err));
out:
    lev_arena_release(&p.arena);
    return st;
}
