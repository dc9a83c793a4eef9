/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a face will show. See app_look.h. */
#include "app_look.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "levigate/note.h"

#include "mem.h"
#include "optics_figure.h"
#include "picture_io.h"
#include "units.h"

enum { ALONE_POINTS = 800, PANEL_POINTS = 320 }; /* across one picture */

static lev_status start_answer(const lev_look_ask *ask, lev_look_request *req,
                               lev_look_answer *out, lev_error *err)
{
    lev_status st = LEV_OK;
    if (ask->material == NULL || ask->material[0] == '\0')
        LEV_TRY(lev_fail(err, LEV_E_USAGE,
                         "--material is missing; what the face is made of"));
    LEV_TRY(lev_optics_find(ask->material, &req->optic, err));
    req->type_mm = ask->type_mm;
    out->material = ask->material;
    out->card_mm =
        ask->card_mm > 0.0 ? ask->card_mm : lev_light_figure("card_distance");
out:
    return st;
}

static lev_mirror_view view_of(const lev_look_request *req, const lev_look_answer *a,
                               double lay_rad)
{
    return (lev_mirror_view){.card_mm = a->card_mm,
                             .azimuth_rad = lay_rad + LEV_PI / 2.0,
                             .optic = req->optic};
}

/* ---- maps ---- */

static lev_status draw_maps(const lev_height_view *maps, ptrdiff_t n,
                            const lev_look_request *req, lev_look_answer *a,
                            lev_error *err)
{
    lev_status st;
    lev_picture card = {0};
    const lev_mirror_view view = view_of(req, a, a->state[0].look.lay_rad);
    LEV_TRY(lev_optics_card(ALONE_POINTS, &card, err));
    LEV_TRY(lev_optics_map_reflect(&card, maps, n, req, &view, &a->picture[0], err));
out:
    lev_picture_release(&card);
    return st;
}

lev_status lev_app_look_maps(const lev_look_ask *ask, const lev_height_view *maps,
                             ptrdiff_t n, lev_look_answer *out, lev_error *err)
{
    lev_status st;
    lev_look_answer a = {.states = 1};
    lev_look_request req = {0};
    LEV_TRY(start_answer(ask, &req, &a, err));
    a.state[0] = (lev_look_state){.ra_um = NAN, .measured = true};
    LEV_TRY(lev_optics_look(maps, n, &req, &a.state[0].look, err));
    if (ask->picture)
        LEV_TRY(draw_maps(maps, n, &req, &a, err));
    *out = a;
out:
    return st;
}

/* ---- finishes ---- */

static lev_status draw_finish(const lev_look_request *req, const lev_rough *s,
                              ptrdiff_t points, lev_look_answer *a, lev_error *err)
{
    lev_status st;
    lev_picture card = {0};
    const lev_mirror_view view = view_of(req, a, 0.0);
    LEV_TRY(lev_optics_card(points, &card, err));
    LEV_TRY(lev_optics_rough_reflect(&card, s, lev_optics_view_rad(), &view,
                                     &a->picture[a->states], err));
out:
    lev_picture_release(&card);
    return st;
}

lev_status lev_look_add_finish(const lev_look_ask *ask, const char *label, double ra_um,
                               bool one_way, lev_look_answer *out, lev_error *err)
{
    lev_status st;
    lev_look_request req = {0};
    lev_rough s = {0};
    lev_look_state *const state = &out->state[out->states];
    const lev_texture t = {.ra_um = ra_um, .one_way = one_way};
    if (out->states == LEV_LOOKS_MAX)
        LEV_TRY(
            lev_fail(err, LEV_E_LIMIT, "more than %d faces to look at", LEV_LOOKS_MAX));
    LEV_TRY(start_answer(ask, &req, out, err));
    *state = (lev_look_state){.ra_um = ra_um};
    (void)snprintf(state->label, sizeof state->label, "%s", label);
    LEV_TRY(lev_optics_texture_light(&t, &req, &state->light, err));
    LEV_TRY(lev_optics_texture_surface(&t, &s, err));
    LEV_TRY(lev_optics_rough_look(&s, &req, &state->look, err));
    state->look.notes |= state->light.notes;
    if (ask->picture)
        LEV_TRY(draw_finish(&req, &s, ask->ra_n == 1 ? ALONE_POINTS : PANEL_POINTS, out,
                            err));
    out->states++;
out:
    return st;
}

lev_status lev_app_look_ra(const lev_look_ask *ask, lev_look_answer *out,
                           lev_error *err)
{
    lev_status st = LEV_OK;
    lev_look_answer a = {0};
    for (int i = 0; i < ask->ra_n; i++) {
        char label[64];
        (void)snprintf(label, sizeof label, "RA %.3g UM", ask->ra_um[i]);
        LEV_TRY(lev_look_add_finish(ask, label, ask->ra_um[i], !ask->no_lay, &a, err));
    }
    *out = a;
    a = (lev_look_answer){0};
out:
    lev_look_answer_release(&a);
    return st;
}

void lev_look_answer_release(lev_look_answer *a)
{
    if (a == NULL)
        return;
    for (int i = 0; i < LEV_LOOKS_MAX; i++)
        lev_picture_release(&a->picture[i]);
    a->states = 0;
}

/* ---- the picture ---- */

static lev_status one_picture(const lev_look_answer *a, lev_picture *out,
                              lev_error *err)
{
    char text[LEV_LOOKS_MAX][80];
    char title[96];
    const char *captions[LEV_LOOKS_MAX];
    bool lay = false;
    for (int i = 0; i < a->states; i++) {
        const lev_look_state *const s = &a->state[i];
        lay = lay || s->look.directional;
        if (s->step > 0)
            (void)snprintf(text[i], sizeof text[i], "%d. %s", s->step, s->label);
        else
            (void)snprintf(text[i], sizeof text[i], "%s", s->label);
        captions[i] = text[i];
    }
    (void)snprintf(title, sizeof title, "%s%s%s", a->face,
                   a->face[0] != '\0' && lay ? " - " : "",
                   lay ? "seen across the lay" : "");
    return lev_optics_strip(a->picture, captions, a->states,
                            title[0] != '\0' && !a->untitled ? title : NULL, out, err);
}

/* Rows of unequal length below each other, on white. */
static lev_status stack(const lev_picture *row, int n, uint8_t **rgb, ptrdiff_t *nx,
                        ptrdiff_t *ny, lev_error *err)
{
    lev_status st;
    void *p = NULL;
    *nx = *ny = 0;
    for (int k = 0; k < n; k++) {
        *nx = row[k].nx > *nx ? row[k].nx : *nx;
        *ny += row[k].ny;
    }
    LEV_TRY(lev_mem_new((size_t)*nx * (size_t)*ny, 6, &p, err));
    uint8_t *const page = p;
    uint8_t *const part = page + 3 * *nx * *ny; /* one row of pictures, coded */
    memset(page, 255, (size_t)(3 * *nx * *ny));
    uint8_t *to = page;
    for (int k = 0; k < n; k++) {
        lev_picture_code(&row[k], part);
        for (ptrdiff_t j = 0; j < row[k].ny; j++, to += 3 * *nx)
            memcpy(to, part + 3 * j * row[k].nx, (size_t)(3 * row[k].nx));
    }
    *rgb = page;
out:
    return st;
}

static bool ends_in_png(const char *path)
{
    const size_t n = strlen(path);
    return n > 4 && strcmp(path + n - 4, ".png") == 0;
}

lev_status lev_app_look_png(const lev_look_answer *a, int n, const char *path,
                            lev_error *err)
{
    enum { FACES_MAX = 100 };
    lev_status st = LEV_OK;
    lev_picture row[FACES_MAX] = {0};
    uint8_t *rgb = NULL;
    ptrdiff_t nx;
    ptrdiff_t ny;
    int rows = 0;
    if (!ends_in_png(path))
        LEV_TRY(lev_fail(err, LEV_E_USAGE, "%s; the picture is a .png", path));
    for (int k = 0; k < n && rows < FACES_MAX; k++)
        if (a[k].states > 0)
            LEV_TRY(one_picture(&a[k], &row[rows++], err));
    if (rows == 0)
        LEV_TRY(lev_fail(err, LEV_E_RANGE, "there is nothing to draw"));
    LEV_TRY(stack(row, rows, &rgb, &nx, &ny, err));
    LEV_TRY(lev_png_write(path, rgb, nx, ny, err));
out:
    for (int k = 0; k < FACES_MAX; k++)
        lev_picture_release(&row[k]);
    lev_mem_free(rgb);
    return st;
}
