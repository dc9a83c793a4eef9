/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Look-up in the tables of data/optics: single figures, optical constants, which
 * constants stand for which material, and the openings of the instruments. */
#include "optics_figure.h"

#include <assert.h>
#include <math.h>
#include <string.h>

#include "lev_tables.h"
#include "levigate/optics.h"
#include "num.h"
#include "text.h"

double lev_light_figure(const char *id)
{
    for (int i = 0; i < LEV_TAB_LIGHT_FIGURE_N; i++)
        if (strcmp(lev_tab_light_figure[i].id, id) == 0)
            return lev_tab_light_figure[i].value;
    assert(!"no such figure in data/optics/light_figure.csv");
    return NAN;
}

double lev_optics_wavelength_um(int colour)
{
    static const char *const ids[] = {"wavelength_red", "wavelength_green",
                                      "wavelength_blue"};
    assert(colour >= 0 && colour < LEV_COLOURS);
    return lev_light_figure(ids[colour]);
}

double lev_optics_gloss_deg(int angle)
{
    static const char *const ids[] = {"gloss-20", "gloss-60", "gloss-85"};
    lev_window w = {0};
    assert(angle >= 0 && angle < LEV_GLOSS_ANGLES);
    (void)lev_optics_window(ids[angle], &w, NULL);
    return w.incidence_rad / lev_light_rad(1.0);
}

lev_status lev_optics_window(const char *id, lev_window *out, lev_error *err)
{
    for (int i = 0; i < LEV_TAB_GLOSS_WINDOW_N; i++) {
        const lev_row_gloss_window *const r = &lev_tab_gloss_window[i];
        if (strcmp(r->id, id) != 0)
            continue;
        const double half = r->in_plane_deg / 2.0;
        *out = (lev_window){
            .incidence_rad = lev_light_rad(r->incidence_deg),
            .alpha_low = sin(lev_light_rad(r->centre_deg - half)),
            .alpha_high = sin(lev_light_rad(r->centre_deg + half)),
            .beta_half = sin(lev_light_rad(r->cross_deg / 2.0)),
        };
        return LEV_OK;
    }
    return lev_fail(err, LEV_E_UNKNOWN,
                    "no receptor is called %s; gloss-20, gloss-60, gloss-85", id);
}

/* ---- optical constants ---- */

static bool of_set(const lev_row_nk *r, const char *optic, const char *set)
{
    return strcmp(r->optic, optic) == 0 && strcmp(r->set, set) == 0;
}

/* The rows of one set around a wavelength: nearest at or below, nearest at or above. */
static void bracket(const char *optic, const char *set, double wavelength_um,
                    const lev_row_nk **low, const lev_row_nk **high, int *n)
{
    *low = *high = NULL;
    *n = 0;
    for (int i = 0; i < LEV_TAB_NK_N; i++) {
        const lev_row_nk *const r = &lev_tab_nk[i];
        if (!of_set(r, optic, set))
            continue;
        ++*n;
        if (r->wavelength_um <= wavelength_um &&
            (*low == NULL || r->wavelength_um > (*low)->wavelength_um))
            *low = r;
        if (r->wavelength_um >= wavelength_um &&
            (*high == NULL || r->wavelength_um < (*high)->wavelength_um))
            *high = r;
    }
}

static unsigned note_of(lev_mark mark)
{
    return mark == LEV_MARK_MEMORY ? (unsigned)LEV_NOTE_MEMORY : 0U;
}

lev_status lev_optics_nk(const char *optic, const char *set, double wavelength_um,
                         lev_nk *out, unsigned *notes, lev_error *err)
{
    const lev_row_nk *low = NULL;
    const lev_row_nk *high = NULL;
    int n = 0;
    bracket(optic, set, wavelength_um, &low, &high, &n);
    if (n == 0)
        return lev_fail(err, LEV_E_UNKNOWN,
                        "no optical constants are known for %s (%s set); chromium, "
                        "iron, brass_70_30 ...",
                        optic, set);
    if (n == 1) {
        low = high = low != NULL ? low : high;
        *notes |= LEV_NOTE_DEFAULT;
    }
    if (low == NULL || high == NULL)
        return lev_fail(err, LEV_E_RANGE,
                        "%g um lies outside the published wavelengths of %s; 0.45 to "
                        "0.65 um",
                        wavelength_um, optic);
    const double span = high->wavelength_um - low->wavelength_um;
    const double t = span > 0.0 ? (wavelength_um - low->wavelength_um) / span : 0.0;
    *out = (lev_nk){low->index + t * (high->index - low->index),
                    low->extinction + t * (high->extinction - low->extinction)};
    *notes |= note_of(low->mark) | note_of(high->mark);
    return LEV_OK;
}

static lev_status fill_optic(const char *optic, lev_optic *o, lev_error *err)
{
    lev_status st;
    for (int c = 0; c < LEV_COLOURS; c++) {
        const double um = lev_optics_wavelength_um(c);
        unsigned other_notes = 0;
        LEV_TRY(lev_optics_nk(optic, "first", um, &o->nk[c], &o->notes, err));
        o->other[c] = o->nk[c];
        if (lev_optics_nk(optic, "alternative", um, &o->other[c], &other_notes, NULL) >=
            0)
            o->notes |= other_notes | LEV_NOTE_DISAGREE;
    }
out:
    return st;
}

static bool is_named(const lev_row_material *m, const char *name)
{
    return lev_text_same(m->id, name) || lev_text_same(m->name, name) ||
           lev_text_in_list(name, m->alias);
}

static bool is_optic(const char *name)
{
    for (int i = 0; i < LEV_TAB_NK_N; i++)
        if (strcmp(lev_tab_nk[i].optic, name) == 0)
            return true;
    return false;
}

/* The id of the work material people call so; the name itself when it is an optical id
 * (plain "copper") or nothing we know. */
static const char *material_id(const char *name)
{
    if (is_optic(name))
        return name;
    for (int i = 0; i < LEV_TAB_MATERIAL_N; i++)
        if (is_named(&lev_tab_material[i], name))
            return lev_tab_material[i].id;
    return name;
}

lev_status lev_optics_find(const char *id, lev_optic *out, lev_error *err)
{
    lev_optic o = {0};
    const char *const material = material_id(id);
    const char *optic = id;
    for (int i = 0; i < LEV_TAB_FACE_OPTIC_N; i++) {
        const lev_row_face_optic *const r = &lev_tab_face_optic[i];
        if (strcmp(r->material, material) == 0) {
            optic = r->optic;
            o.body = r->body;
            lev_srgb_of_lab(r->body, lev_known(r->body_a) ? r->body_a : 0.0,
                            lev_known(r->body_b) ? r->body_b : 0.0, o.body_colour);
            o.notes = note_of(r->mark);
        }
    }
    if (fill_optic(optic, &o, NULL) < 0)
        return lev_fail(err, LEV_E_UNKNOWN,
                        "nothing is known of how \"%s\" reflects; a material of "
                        "`levigate material` or an optical id such as chromium",
                        id);
    *out = o;
    return LEV_OK;
}
