/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Materials as JSON: each figure by its key, with mark and source beside it. */
#include "app_grit.h"
#include "json.h"

static void put_figure(json_t *o, json_t *from, const char *key, const lev_figure *f,
                       int *failed)
{
    if (f->value != f->value) /* unknown: left out */
        return;
    *failed |= lev_json_put_number(o, key, f->value);
    json_t *s = json_object();
    *failed |= lev_json_put_text(s, "mark", lev_mark_name(f->mark));
    *failed |= lev_json_put_text(s, "source", f->source);
    *failed |= lev_json_put_text(s, "note", f->note);
    if (f->alternatives > 0) {
        json_t *list = json_array();
        for (int i = 0; i < f->alternatives; i++)
            *failed |= lev_json_add(list, json_real(f->alternative[i]));
        *failed |= lev_json_put(s, "alternatives", list);
    }
    *failed |= lev_json_put(from, key, s);
}

static json_t *material_json(const lev_material *m, int *failed)
{
    json_t *o = json_object(), *from = json_object();
    *failed |= lev_json_put_text(o, "id", m->id);
    *failed |= lev_json_put_text(o, "name", m->name);
    *failed |= lev_json_put_text(o, "family", m->family);
    *failed |= lev_json_put_text(o, "alias", m->alias);
    put_figure(o, from, "hardness_gpa", &m->hardness_gpa, failed);
    put_figure(o, from, "density_kg_m3", &m->density_kg_m3, failed);
    put_figure(o, from, "youngs_gpa", &m->youngs_gpa, failed);
    put_figure(o, from, "conductivity_w_mk", &m->conductivity_w_mk, failed);
    put_figure(o, from, "specific_heat_j_kgk", &m->specific_heat_j_kgk, failed);
    put_figure(o, from, "max_temp_c", &m->max_temp_c, failed);
    *failed |= lev_json_put_text(o, "damage_kind", m->damage_kind);
    *failed |= lev_json_put_int(o, "loading", m->loading);
    *failed |= lev_json_put_int(o, "galling", m->galling);
    *failed |= lev_json_put_text(o, "mark", lev_mark_name(m->mark));
    *failed |= lev_json_put_text(o, "note", m->note);
    *failed |= lev_json_put(o, "sources", from);
    *failed |= lev_json_put_notes(o, m->notes);
    return o;
}

json_t *lev_app_material_json(const lev_material *list, int n, const char *warning,
                              int *failed)
{
    json_t *r = lev_json_reply(), *out = json_array();
    for (int i = 0; i < n; i++)
        *failed |= lev_json_add(out, material_json(&list[i], failed));
    for (int i = 0; n == 0 && i < lev_material_count(); i++) {
        const lev_material m = lev_material_at(i);
        *failed |= lev_json_add(out, material_json(&m, failed));
    }
    *failed |= lev_json_put(r, "materials", out);
    *failed |= lev_json_put_text(r, "warning", warning);
    return r;
}
