/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a face must become: every way of asking, resolved to roughness limits and a
 * window for the last grit. What goes on afterwards narrows both: last grit first,
 * roughness second, and too smooth is wrong as well. */
#include "app_face.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "levigate/note.h"

/* ---- one way of asking each ---- */

static lev_face_rule rule_of(const char *rule)
{
    return strcmp(rule, "max") == 0     ? LEV_RULE_MAX
           : strcmp(rule, "16pct") == 0 ? LEV_RULE_16PCT
                                        : LEV_RULE_MEAN;
}

static lev_status by_limit(const lev_job_target *t, lev_arena *arena,
                           lev_face_target *out, lev_error *err)
{
    const bool rz = strcmp(t->symbol, "Rz") == 0;
    out->rule = rule_of(t->rule);
    out->readings = t->readings;
    if (rz)
        out->rz_max_um = t->max_um;
    else
        out->ra_max_um = t->max_um;
    if (!rz)
        out->ra_min_um = t->min_um;
    out->check = "Five readings across the lay, all under the limit by the agreed rule";
    if (isfinite(t->min_um))
        return lev_arena_print(arena, &out->words, err, "%s %.3g to %.3g um", t->symbol,
                               t->min_um, t->max_um);
    return lev_arena_print(arena, &out->words, err, "%s at most %.3g um", t->symbol,
                           t->max_um);
}

/* Limits of one class of a finish standard. */
static lev_status by_class(const char *standard, const char *name, lev_arena *arena,
                           lev_face_target *out, lev_error *err)
{
    for (int i = 0; i < LEV_TAB_FINISH_CLASS_N; i++) {
        const lev_row_finish_class *row = &lev_tab_finish_class[i];
        if (strcmp(row->standard, standard) != 0 || strcmp(row->class_name, name) != 0)
            continue;
        if (strcmp(row->parameter, "Ra") != 0 || !isfinite(row->limit_high_um))
            continue;
        out->ra_max_um = row->limit_high_um;
        out->ra_min_um = row->limit_low_um;
        out->rule = LEV_RULE_16PCT;
        out->readings = 6;
        out->check = "Readings across the lay under the limit of the class";
        return lev_arena_print(arena, &out->words, err, "%s %s, Ra at most %.3g um",
                               standard, name, row->limit_high_um);
    }
    return lev_fail(
        err, LEV_E_RANGE,
        "%s %s has no roughness in figures; agree a look, a limit or a last grit",
        standard, name);
}

static lev_status by_look(const lev_job_face *f, const lev_material *m,
                          lev_arena *arena, lev_face_target *out,
                          lev_face_sources *sources, lev_error *err)
{
    for (int i = 0; i < LEV_TAB_LOOK_N; i++) {
        const lev_row_look *row = &lev_tab_look[i];
        if (strcmp(row->id, f->target.look) != 0)
            continue;
        const bool clean = strcmp(row->id, "clean") == 0;
        if (lev_material_is_wood(m) && !clean)
            return lev_fail(
                err, LEV_E_RANGE,
                "face %s: the look \"%s\" of wood is made by what goes on it; ask "
                "for clean, or for a last grit",
                f->name, row->id);
        sources->look = row;
        sources->notes |= LEV_NOTE_PRACTICE;
        out->lay = strcmp(row->lay, "one-way") == 0 ? LEV_LAY_ONE_WAY
                   : strcmp(row->lay, "none") == 0  ? LEV_LAY_NONE
                                                    : LEV_LAY_ANY;
        out->check = row->check;
        /* wood: the pores stay, so the last grit decides (see narrow_by_next) */
        out->ra_max_um = lev_material_is_wood(m) ? (double)NAN : row->ra_high_um;
        out->ra_min_um =
            clean || !(row->ra_low_um > 0.0) ? (double)NAN : row->ra_low_um;
        return lev_arena_text(arena, row->words, strlen(row->words), &out->words, err);
    }
    return lev_fail(err, LEV_E_UNKNOWN, "face %s: no look \"%s\"", f->name,
                    f->target.look);
}

static lev_status by_last_grit(const lev_job_face *f, lev_arena *arena,
                               lev_face_target *out, lev_error *err)
{
    lev_status st = LEV_OK;
    lev_grit g;
    LEV_TRY(lev_grit_find(f->target.system, f->target.label, "", &g, err));
    if (!isfinite(g.d50_um))
        LEV_TRY(lev_fail(err, LEV_E_RANGE, "face %s: no size is published for %s %s",
                         f->name, f->target.system, f->target.label));
    LEV_TRY(lev_arena_text(arena, g.label, strlen(g.label), &out->last_label, err));
    out->last_system = g.system;
    out->last_coarse_um = out->last_fine_um = g.d50_um;
    out->check = "All lines are of this grit and run its way";
    LEV_TRY(lev_arena_print(arena, &out->words, err, "last grit %s", g.label));
out:
    return st;
}

/* ---- what goes on afterwards ---- */

static const lev_row_ready *ready_row(const char *next, const char *family)
{
    for (int i = 0; i < LEV_TAB_READY_N; i++)
        if (strcmp(lev_tab_ready[i].next, next) == 0 &&
            strcmp(lev_tab_ready[i].family, family) == 0)
            return &lev_tab_ready[i];
    return NULL;
}

static lev_status grit_window(const char *coarse, const char *fine,
                              lev_face_target *out, lev_error *err)
{
    lev_status st = LEV_OK;
    lev_grit g;
    LEV_TRY(lev_grit_find("P", coarse, "", &g, err));
    out->last_coarse_um = g.d50_um;
    LEV_TRY(lev_grit_find("P", fine, "", &g, err));
    out->last_fine_um = g.d50_um;
out:
    return st;
}

static double lower(double a, double b)
{
    return isfinite(a) && isfinite(b) ? fmin(a, b) : isfinite(a) ? a : b;
}

static double upper(double a, double b)
{
    return isfinite(a) && isfinite(b) ? fmax(a, b) : isfinite(a) ? a : b;
}

/* Bare wood that shall only be clean: the row of a thin lacquer, the middle of them. */
static const char *next_for(const lev_job_face *f, const lev_material *m)
{
    const bool unsaid = strcmp(f->next, "none") == 0;
    return unsaid && lev_material_is_wood(m) && f->target.kind == LEV_TARGET_LOOK
               ? "lacquer"
               : f->next;
}

static lev_status narrow_by_next(const lev_job_face *f, const lev_material *m,
                                 lev_face_target *out, lev_face_sources *sources,
                                 lev_error *err)
{
    lev_status st = LEV_OK;
    const lev_row_ready *row = ready_row(next_for(f, m), m->family);
    sources->ready = row;
    if (row == NULL)
        goto out;
    if (row->last_grit_coarse_label[0] != '\0' &&
        f->target.kind != LEV_TARGET_LAST_GRIT) {
        LEV_TRY(grit_window(row->last_grit_coarse_label, row->last_grit_fine_label, out,
                            err));
        sources->notes |= LEV_NOTE_PRACTICE;
    }
    if (!isfinite(row->ra_high_um) || f->target.kind == LEV_TARGET_LAST_GRIT)
        goto out;
    out->ra_max_um = lower(out->ra_max_um, row->ra_high_um);
    out->ra_min_um = upper(out->ra_min_um, row->ra_low_um);
    sources->notes |= LEV_NOTE_PRACTICE;
    if (out->ra_min_um >= out->ra_max_um)
        LEV_TRY(
            lev_fail(err, LEV_E_RANGE,
                     "face %s: the target and %s afterwards exclude each other: Ra at "
                     "most %.3g um asked, %s wants %.3g to %.3g um",
                     f->name, f->next, out->ra_max_um, f->next, row->ra_low_um,
                     row->ra_high_um));
out:
    return st;
}

lev_status lev_face_target_of(const lev_job_face *f, const lev_material *m,
                              lev_arena *arena, lev_face_target *out,
                              lev_face_sources *sources, lev_error *err)
{
    lev_status st = LEV_OK;
    char n[8];
    *out = (lev_face_target){.ra_max_um = NAN,
                             .ra_min_um = NAN,
                             .rz_max_um = NAN,
                             .last_coarse_um = NAN,
                             .last_fine_um = NAN,
                             .last_label = "",
                             .last_system = "",
                             .words = "",
                             .check = ""};
    switch (f->target.kind) {
    case LEV_TARGET_LIMIT:
        LEV_TRY(by_limit(&f->target, arena, out, err));
        break;
    case LEV_TARGET_N_GRADE:
        (void)snprintf(n, sizeof n, "N%d", f->target.n);
        LEV_TRY(by_class("ISO 1302", n, arena, out, err));
        break;
    case LEV_TARGET_CLASS:
        LEV_TRY(by_class(f->target.standard, f->target.class_name, arena, out, err));
        break;
    case LEV_TARGET_LOOK:
        LEV_TRY(by_look(f, m, arena, out, sources, err));
        break;
    case LEV_TARGET_LAST_GRIT:
        LEV_TRY(by_last_grit(f, arena, out, err));
        break;
    case LEV_TARGET_GLOSS:
    case LEV_TARGET_READABLE:
        LEV_TRY(lev_face_target_light(f, m, arena, out, sources, err));
    }
    LEV_TRY(narrow_by_next(f, m, out, sources, err));
out:
    return st;
}
