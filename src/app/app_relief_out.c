/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A simulated face as files, as JSON and for a person. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "app_backend.h"
#include "app_relief.h"
#include "app_trace.h"
#include "json.h"
#include "mem.h"
#include "picture_io.h"
#include "units.h"

/* The lamp of the picture: low, from above on the left, as people hold it. */
static const double AZIMUTH_DEG = 225.0, ALTITUDE_DEG = 30.0;

static const char *ending(const char *path)
{
    const char *const dot = strrchr(path, '.');
    return dot != NULL && strchr(dot, '/') == NULL ? dot + 1 : "";
}

lev_status lev_app_relief_check(const char *path, lev_error *err)
{
    static const char *const endings[] = {"x3p", "sdf", "csv", "tsv", "tiff", "png"};
    const lev_format_api *formats;
    for (size_t i = 0; i < sizeof endings / sizeof *endings; i++)
        if (strcmp(ending(path), endings[i]) == 0)
            return lev_backend_formats(&formats, err);
    return lev_fail(err, LEV_E_USAGE, "%s; .x3p, .sdf, .csv, .tsv, .tiff or .png",
                    path);
}

/* ---- files ---- */

static lev_status write_picture(const lev_relief_answer *a, const char *path,
                                lev_error *err)
{
    lev_status st;
    const lev_map *const m = &a->map;
    const size_t n = (size_t)(m->nx * m->ny);
    uint8_t *rgb = NULL, *grey = NULL;
    LEV_TRY(lev_mem_new(n, 3, (void **)&rgb, err));
    LEV_TRY(lev_mem_new(n, 1, (void **)&grey, err));
    LEV_TRY(lev_relief_shade(m->z_um, m->nx, m->ny, m->dx_um,
                             AZIMUTH_DEG * LEV_PI / 180.0,
                             ALTITUDE_DEG * LEV_PI / 180.0, 0.0, grey, err));
    for (size_t i = 0; i < n; i++)
        rgb[3 * i] = rgb[3 * i + 1] = rgb[3 * i + 2] = grey[i];
    LEV_TRY(lev_png_write(path, rgb, m->nx, m->ny, err));
out:
    lev_mem_free(rgb);
    lev_mem_free(grey);
    return st;
}

lev_status lev_app_relief_write(const lev_relief_answer *a, const char *path,
                                lev_error *err)
{
    lev_status st;
    const lev_format_api *formats = NULL;
    char picture[4096];
    const lev_surface s = {.map = a->map}; /* borrows */
    const bool alone = strcmp(ending(path), "png") == 0;
    LEV_TRY(lev_app_relief_check(path, err));
    const size_t stem = strlen(path) - strlen(ending(path));
    if (snprintf(picture, sizeof picture, "%.*spng", (int)stem, path) >=
        (int)sizeof picture)
        LEV_TRY(lev_fail(err, LEV_E_USAGE, "the name of the output is too long"));
    LEV_TRY(lev_backend_formats(&formats, err));
    const bool there = access(path, F_OK) == 0;
    if (!alone)
        LEV_TRY(formats->write(path, &s, err));
    st = write_picture(a, picture, err);
    if (st < 0 && !alone && !there)
        (void)unlink(path); /* both or none */
out:
    return st;
}

/* ---- JSON ---- */

static const char *lay_word(lev_lay lay)
{
    switch (lay) {
    case LEV_LAY_CROSS:
        return "cross";
    case LEV_LAY_ORBITAL:
        return "orbital";
    case LEV_LAY_CIRCULAR:
        return "circular";
    case LEV_LAY_ARCS:
        return "arcs";
    case LEV_LAY_SECTION:
    case LEV_LAY_STRAIGHT:
        break;
    }
    return "straight";
}

static bool has_direction(const lev_relief_step *s)
{
    return s->lay == LEV_LAY_STRAIGHT;
}

static const char *maker(const lev_relief_answer *a, int step)
{
    return step < 0 ? "start" : a->step[step].label;
}

static json_t *texture_json(const lev_relief_answer *a, const lev_relief_step *s,
                            ptrdiff_t i, int *failed)
{
    json_t *const o = json_object();
    const lev_sim_texture *const t = &s->left[i];
    *failed |= lev_json_put_text(o, "made_by", maker(a, s->made_by[i]));
    *failed |= lev_json_put_number(o, "Sq_um", t->Rq_um);
    *failed |= lev_json_put_number(o, "left", t->left);
    *failed |= lev_json_put_number(o, "left_long", t->left_long);
    *failed |= lev_json_put_number(o, "left_short", t->left_short);
    *failed |= lev_json_put_number(o, "chance", t->chance);
    *failed |= lev_json_put_number(o, "uncut_pct", 100.0 * t->share);
    *failed |= lev_json_put_number(o, "deepest_um", t->deepest_um);
    return o;
}

static json_t *step_json(const lev_relief_answer *a, const lev_relief_step *s,
                         int *failed)
{
    json_t *const o = json_object();
    json_t *const left = json_array();
    const bool drawn = !(s->distance_m > 0.0);
    *failed |= lev_json_put_text(o, "label", s->label);
    *failed |= lev_json_put_text(o, "drive", s->drive);
    *failed |= lev_json_put_text(o, "lay", lay_word(s->lay));
    if (has_direction(s))
        *failed |= lev_json_put_number(o, "direction_deg", s->direction_deg);
    *failed |= lev_json_put_number(o, "remove_um", s->remove_um);
    *failed |= lev_json_put_number(o, "pitch_um", s->pitch_um);
    *failed |= lev_json_put_int(o, "points", s->points);
    if (drawn) {
        *failed |= lev_json_put_flag(o, "drawn", true);
    } else {
        *failed |= lev_json_put_number(o, "removed_um", s->end.removed_um);
        *failed |= lev_json_put_number(o, "distance_m", s->distance_m);
        *failed |= lev_json_put_number(o, "Sa_um", s->end.Ra_um);
        *failed |= lev_json_put_number(o, "deepest_um", s->end.deepest_um);
    }
    for (ptrdiff_t i = 0; i < s->lefts; i++)
        *failed |= lev_json_add(left, texture_json(a, s, i, failed));
    *failed |= lev_json_put(o, "textures", left);
    return o;
}

json_t *lev_app_relief_json(const lev_relief_answer *a, int *failed)
{
    json_t *const r = lev_json_reply();
    json_t *const steps = json_array(), *const out = json_array();
    lev_trace_put_areal(r, &a->areal, failed);
    *failed |= lev_json_put_int(r, "seed", (int64_t)a->seed);
    *failed |= lev_json_put_int(r, "model", LEV_SIM_MODEL);
    *failed |= lev_json_put_text(r, "material", a->material);
    *failed |= lev_json_put_text(r, "face", a->face);
    *failed |= lev_json_put_number(r, "pitch_um", a->map.dx_um);
    *failed |= lev_json_put_int(r, "columns", a->map.nx);
    *failed |= lev_json_put_int(r, "rows", a->map.ny);
    *failed |= lev_json_put_number(r, "start_mark_um", a->mark_um);
    if (isfinite(a->mark_um))
        *failed |= lev_json_put_number(r, "start_spacing_um", a->spacing_um);
    for (int k = 0; k < a->first; k++)
        *failed |= lev_json_add(out, json_string(a->step[k].label));
    *failed |= lev_json_put(r, "left_out", out);
    for (int k = a->first; k < a->steps; k++)
        *failed |= lev_json_add(steps, step_json(a, &a->step[k], failed));
    *failed |= lev_json_put(r, "steps", steps);
    *failed |= lev_json_put_text(r, "mark", lev_mark_name(a->mark));
    *failed |= lev_json_put_notes(r, a->notes);
    return r;
}

/* ---- text ---- */

/* The earlier texture of which most is left. */
static ptrdiff_t strongest(const lev_relief_step *s)
{
    ptrdiff_t best = -1;
    double most_um = 0.0;
    for (ptrdiff_t i = 0; i + 1 < s->lefts; i++) {
        const double um = s->left[i].left * s->left[i].Rq_um;
        if (s->left[i].left > 2.0 * s->left[i].chance && um > most_um) {
            most_um = um;
            best = i;
        }
    }
    return best;
}

/* Where a step ran on a coarser and wider map than the last. */
static void say_map(lev_text *t, const lev_relief_answer *a, const lev_relief_step *s)
{
    if (s->pitch_um > a->map.dx_um * (1.0 + 1e-9))
        lev_text_print(t, "; on a map of %.2g mm, %.2g um apart",
                       (double)s->points * s->pitch_um / LEV_UM_PER_MM, s->pitch_um);
}

static void say_step(lev_text *t, const lev_relief_answer *a, const lev_relief_step *s,
                     lev_units units)
{
    lev_text_print(t, "%-12s ", s->label);
    if (!(s->distance_m > 0.0)) {
        lev_text_add(t, "drawn, not simulated: a tool without grains\n");
        return;
    }
    lev_words_depth(t, s->end.removed_um, units);
    lev_text_print(t, " off, lines %s", lay_word(s->lay));
    if (has_direction(s))
        lev_text_print(t, " at %.0f deg", s->direction_deg);
    lev_text_add(t, ": Sa ");
    lev_words_size(t, s->end.Ra_um, units);
    const ptrdiff_t i = strongest(s);
    if (i >= 0) {
        const lev_sim_texture *const left = &s->left[i];
        lev_text_print(t, "; of %s %.0f %% left (long %.0f, lines %.0f)",
                       maker(a, s->made_by[i]), 100.0 * left->left,
                       100.0 * left->left_long, 100.0 * left->left_short);
    }
    say_map(t, a, s);
    lev_text_add(t, "\n");
}

void lev_app_relief_text(lev_text *t, const lev_relief_answer *a, lev_units units)
{
    lev_text_print(t, "%s LEAVES SA ", a->step[a->steps - 1].label);
    lev_words_size(t, a->areal.h.Sa_um, units);
    lev_text_add(t, " ON THE SIMULATED FACE\n"
                    "check: turn the work a quarter, lamp low: no line runs an old "
                    "way\n\n");
    lev_text_print(t, "work         %s", a->material);
    if (a->face[0] != '\0')
        lev_text_print(t, ", face %s", a->face);
    const double side_mm = (double)a->map.nx * a->map.dx_um / LEV_UM_PER_MM;
    lev_text_print(t,
                   "\nmap          %.2g x %.2g mm, %td x %td points, %.2g um apart\n",
                   side_mm, side_mm * (double)a->map.ny / (double)a->map.nx, a->map.nx,
                   a->map.ny, a->map.dx_um);
    for (int k = 0; k < a->first; k++)
        lev_text_print(t, "%-12s left out: its grains are too large for this map\n",
                       a->step[k].label);
    if (isfinite(a->mark_um)) {
        lev_text_print(t, "%-12s marks ", "start");
        lev_words_depth(t, a->mark_um, units);
        lev_text_add(t, " deep, ");
        lev_words_depth(t, a->spacing_um, units);
        lev_text_add(t, " apart\n");
    }
    for (int k = a->first; k < a->steps; k++)
        say_step(t, a, &a->step[k], units);
    lev_text_print(t, "seed         %llu, the same seed gives the same face\n",
                   (unsigned long long)a->seed);
}
