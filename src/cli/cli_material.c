/* SPDX-License-Identifier: GPL-3.0-or-later */
/* levigate material */
#include "app_grit.h"
#include "bounds.h"
#include "cli_out.h"
#include "json.h"
#include "num.h"

#include <stdio.h>
#include <string.h>

static void add_figure(lev_text *t, const char *name, const char *unit,
                       const lev_figure *f)
{
    if (!lev_known(f->value))
        return;
    lev_text_print(t, "%-14s ", name);
    lev_text_number(t, f->value, 4);
    lev_text_print(t, " %s  (%s: %s)\n", unit, lev_mark_name(f->mark), f->source);
}

static void print_material(lev_text *t, const lev_material *m)
{
    lev_text_print(t, "%s\n", m->name);
    add_figure(t, "hardness", "GPa", &m->hardness_gpa);
    add_figure(t, "density", "kg/m3", &m->density_kg_m3);
    add_figure(t, "stiffness", "GPa", &m->youngs_gpa);
    add_figure(t, "conductivity", "W/(m K)", &m->conductivity_w_mk);
    add_figure(t, "specific heat", "J/(kg K)", &m->specific_heat_j_kgk);
    add_figure(t, "keep below", "C", &m->max_temp_c);
    lev_text_print(t, "heat           %s\nnote           %s\n\n", m->damage_kind,
                   m->note);
}

static void print_all(lev_text *t, const lev_material_reading *r)
{
    for (int i = 0; i < r->n; i++)
        print_material(t, &r->match[i]);
    if (r->warning[0] != '\0')
        lev_text_print(t, "note: %s\n", r->warning);
    for (int i = 0; r->n == 0 && i < lev_material_count(); i++) {
        const lev_material m = lev_material_at(i);
        lev_text_print(t, "%-16s %-9s %s\n", m.id, m.family, m.name);
    }
}

int lev_cmd_material(const lev_args *args)
{
    lev_error err = {0};
    lev_status st = LEV_OK;
    lev_material_reading r = {0};
    char name[4 * LEV_LIMIT_MARKING_BYTES] = "";
    for (int i = 0; lev_args_nth(args, "name", i) != NULL; i++) {
        const size_t n = strlen(name);
        (void)snprintf(name + n, sizeof name - n, "%s%s", i > 0 ? " " : "",
                       lev_args_nth(args, "name", i));
    }
    if (lev_args_has(args, "name"))
        st = lev_material_read(name, &r, &err);
    if (st >= 0 && lev_args_has(args, "json")) {
        int failed = 0;
        json_t *reply = lev_app_material_json(r.match, r.n, r.warning, &failed);
        st = lev_out_json(reply, failed, &err);
    } else if (st >= 0) {
        lev_text t = {0};
        print_all(&t, &r);
        st = lev_out_text(&t, &err);
    }
    (void)lev_fail_at(&err, st, "material");
    return st < 0 ? lev_out_error(st, &err) : LEV_EXIT_DONE;
}
