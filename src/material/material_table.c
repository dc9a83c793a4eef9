/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The tables of data/material as materials. */
#include "levigate/material.h"

#include <assert.h>
#include <math.h>
#include <stddef.h>
#include <string.h>

#include "lev_tables.h"
#include "levigate/note.h"
#include "num.h"

int lev_material_count(void)
{
    return LEV_TAB_MATERIAL_N;
}

static lev_figure no_figure(void)
{
    return (lev_figure){.value = NAN, .source = "", .note = ""};
}

/* The figure a property fills, NULL for one we do not carry. */
static lev_figure *figure_of(lev_material *m, const char *property)
{
    const struct {
        const char *name;
        lev_figure *figure;
    } known[] = {
        {"hardness_gpa", &m->hardness_gpa},
        {"hardness", &m->hardness},
        {"density", &m->density_kg_m3},
        {"youngs_modulus", &m->youngs_gpa},
        {"conductivity", &m->conductivity_w_mk},
        {"specific_heat", &m->specific_heat_j_kgk},
        {"max_temperature", &m->max_temp_c},
    };
    for (size_t i = 0; i < sizeof known / sizeof *known; i++)
        if (strcmp(known[i].name, property) == 0)
            return known[i].figure;
    return NULL;
}

/* The first row of a property is the figure, later ones are further published values.
 */
static void take_row(lev_material *m, const lev_row_material_prop *row)
{
    lev_figure *f = figure_of(m, row->property);
    if (f == NULL)
        return;
    if (lev_known(f->value)) {
        if (f->alternatives < LEV_MATERIAL_ALTERNATIVES)
            f->alternative[f->alternatives++] = row->value;
        m->notes |= LEV_NOTE_DISAGREE;
        return;
    }
    f->value = row->value;
    f->mark = row->mark;
    f->source = lev_tab_source[row->source].citation;
    f->note = row->note;
    if (strcmp(row->property, "hardness") == 0)
        m->scale = row->unit;
    m->mark = lev_mark_weaker(m->mark, row->mark);
    if (row->mark == LEV_MARK_MEMORY)
        m->notes |= LEV_NOTE_MEMORY;
    if (row->mark == LEV_MARK_PRACTICE)
        m->notes |= LEV_NOTE_PRACTICE;
}

lev_material lev_material_at(int i)
{
    assert(i >= 0 && i < LEV_TAB_MATERIAL_N);
    const lev_row_material *r = &lev_tab_material[i];
    lev_material m = {.id = r->id,
                      .name = r->name,
                      .family = r->family,
                      .alias = r->alias,
                      .damage_kind = r->damage_kind,
                      .loading = r->loading,
                      .galling = r->galling,
                      .hardness_gpa = no_figure(),
                      .hardness = no_figure(),
                      .scale = "",
                      .density_kg_m3 = no_figure(),
                      .youngs_gpa = no_figure(),
                      .conductivity_w_mk = no_figure(),
                      .specific_heat_j_kgk = no_figure(),
                      .max_temp_c = no_figure(),
                      .mark = LEV_MARK_UNSET,
                      .note = r->note};
    for (int k = 0; k < LEV_TAB_MATERIAL_PROP_N; k++)
        if (strcmp(lev_tab_material_prop[k].material, r->id) == 0)
            take_row(&m, &lev_tab_material_prop[k]);
    return m;
}

bool lev_material_is_metal(const lev_material *m)
{
    return strcmp(m->family, "metal") == 0;
}

bool lev_material_is_wood(const lev_material *m)
{
    return strcmp(m->family, "wood") == 0;
}

bool lev_material_is_glass(const lev_material *m)
{
    return strcmp(m->family, "glass") == 0;
}

bool lev_material_is_stone(const lev_material *m)
{
    return strcmp(m->family, "stone") == 0;
}

bool lev_material_is_polymer(const lev_material *m)
{
    return strcmp(m->family, "polymer") == 0;
}

bool lev_material_is_coating(const lev_material *m)
{
    return strcmp(m->family, "coating") == 0;
}

bool lev_material_is_ferrous(const lev_material *m)
{
    static const char *const begins[] = {"steel_", "ss_", "iron_", "case_"};
    for (size_t i = 0; i < sizeof begins / sizeof *begins; i++)
        if (strncmp(m->id, begins[i], strlen(begins[i])) == 0)
            return true;
    return false;
}
