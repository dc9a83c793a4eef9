/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Where a face starts: what was felt or measured, or what a process usually leaves. */
#include "app_face.h"
#include "app_trace.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "levigate/note.h"
#include "text.h"

/* How far a depth told this way may be out. */
static const lev_row_doubt *doubt_of(const char *how)
{
    const lev_row_doubt *worst = &lev_tab_doubt[0];
    for (int i = 0; i < LEV_TAB_DOUBT_N; i++) {
        if (strcmp(lev_tab_doubt[i].id, how) == 0)
            return &lev_tab_doubt[i];
        if (lev_tab_doubt[i].factor > worst->factor)
            worst = &lev_tab_doubt[i];
    }
    return worst;
}

static lev_status start_depth(const lev_job_start *s, lev_arena *arena,
                              lev_face_start *out, lev_error *err)
{
    const lev_row_doubt *doubt = doubt_of(s->how);
    out->mark_um = s->depth_um;
    out->mark_hi_um = s->depth_um * doubt->factor;
    out->spacing_um = s->spacing_um;
    return lev_arena_print(arena, &out->words, err, "worst mark %.3g um deep, %s",
                           s->depth_um, doubt->words);
}

static bool mentions(const char *state, const char *words)
{
    char first[40];
    const size_t n = strcspn(words, ",");
    (void)snprintf(first, sizeof first, "%.*s", (int)n, words);
    for (const char *p = state; *p != '\0'; p++)
        if (lev_text_begins(p, first))
            return true;
    return false;
}

/* The row of a process for a family: by what the state says, else the usual one. */
static const lev_row_process_start *process_row(const char *process, const char *family,
                                                const char *state)
{
    const lev_row_process_start *usual = NULL, *any = NULL;
    for (int i = 0; i < LEV_TAB_PROCESS_START_N; i++) {
        const lev_row_process_start *row = &lev_tab_process_start[i];
        if (strcmp(row->process, process) != 0 || strcmp(row->family, family) != 0)
            continue;
        if (state[0] != '\0' && mentions(state, row->words))
            return row;
        if (strcmp(row->variant, "usual") == 0)
            usual = row;
        any = row;
    }
    return usual != NULL ? usual : any;
}

/* Worst mark below the mean from what the band was told in: a depth, or Rz, half of
 * which lies below the mean of a regular texture. */
static double below_mean(const lev_row_process_start *row, double told_um)
{
    return strcmp(row->measure, "Rz") == 0 ? 0.5 * told_um : told_um;
}

static lev_status start_process(const lev_job_face *f, const lev_material *m,
                                lev_arena *arena, lev_face_start *out,
                                lev_face_sources *sources, lev_error *err)
{
    lev_status st = LEV_OK;
    const lev_job_start *s = &f->start;
    const lev_row_process_start *row = process_row(s->process, m->family, f->state);
    if (row == NULL) { /* stone, glass, coating: as metal, and said so */
        row = process_row(s->process, "metal", f->state);
        sources->notes |= LEV_NOTE_DEFAULT;
    }
    if (row == NULL)
        LEV_TRY(lev_fail(err, LEV_E_UNKNOWN, "face %s: no usual depth is known for %s",
                         f->name, s->process));
    sources->start = row;
    sources->notes |= LEV_NOTE_PRACTICE;
    /* NOLINTNEXTLINE: lev_fail left above */
    out->mark_um = below_mean(row, sqrt(row->depth_low_um * row->depth_high_um));
    out->mark_hi_um = below_mean(row, row->depth_high_um);
    if (isfinite(row->spacing_low_mm))
        out->spacing_um = 1e3 * sqrt(row->spacing_low_mm * row->spacing_high_mm);
    if (strcmp(s->process, "coat") == 0) {
        out->strip_um = isfinite(s->coat_um) ? s->coat_um : row->depth_high_um;
        out->mark_um = out->mark_hi_um = NAN;
    } else if (strstr(row->extra, "skin") != NULL) {
        out->strip_um = out->mark_um;
    }
    LEV_TRY(lev_arena_print(arena, &out->words, err, "%s%s%s", row->words,
                            row->extra[0] != '\0' ? "; " : "", row->extra));
out:
    return st;
}

static lev_status start_grit(const lev_job_face *f, lev_arena *arena,
                             lev_face_start *out, lev_error *err)
{
    lev_status st = LEV_OK;
    lev_grit g;
    const lev_job_start *s = &f->start;
    LEV_TRY(lev_grit_find(s->system, s->label, s->method, &g, err));
    if (!isfinite(g.d50_um))
        LEV_TRY(lev_fail(err, LEV_E_RANGE, "face %s: no size is published for %s %s",
                         f->name, s->system, s->label));
    out->texture_d50_um = g.d50_um;
    LEV_TRY(lev_arena_text(arena, g.label, strlen(g.label), &out->texture_label, err));
    LEV_TRY(lev_arena_print(arena, &out->words, err, "worked with %s", g.label));
out:
    return st;
}

/* The deepest point of what was measured, and how the marks are spaced. */
static lev_status start_trace(const lev_job_face *f, lev_arena *arena,
                              lev_face_start *out, lev_error *err)
{
    lev_status st = LEV_OK;
    const lev_trace_request q = {.path = f->start.file};
    lev_trace_answer a = {0};
    LEV_TRY(lev_app_trace(&q, &a, err));
    out->mark_um = a.is_map ? a.areal.a.h.Sv_um : a.profile.p.Rvt_um;
    if (!a.is_map && a.profile.p.RSm_um > 0.0)
        out->spacing_um = a.profile.p.RSm_um;
    if (a.lines.n > 0) /* the deepest comes first */
        out->mark_um = fmax(out->mark_um, a.lines.line[0].depth_um);
    if (!(out->mark_um > 0.0))
        LEV_TRY(lev_fail(err, LEV_E_RANGE, "face %s: %s shows no mark at all", f->name,
                         f->start.file));
    out->mark_hi_um = out->mark_um * doubt_of("trace")->factor;
    LEV_TRY(lev_arena_print(arena, &out->words, err, "measured, deepest %.3g um",
                            out->mark_um));
out:
    lev_trace_answer_release(&a);
    return st;
}

lev_status lev_face_start_of(const lev_job_face *f, const lev_material *m,
                             lev_arena *arena, lev_face_start *out,
                             lev_face_sources *sources, lev_error *err)
{
    *out = (lev_face_start){.texture_d50_um = NAN,
                            .texture_label = "",
                            .mark_um = NAN,
                            .mark_hi_um = NAN,
                            .spacing_um = NAN,
                            .words = "",
                            .lay_deg = NAN};
    switch (f->start.kind) {
    case LEV_START_DEPTH:
        return start_depth(&f->start, arena, out, err);
    case LEV_START_PROCESS:
        return start_process(f, m, arena, out, sources, err);
    case LEV_START_GRIT:
        return start_grit(f, arena, out, err);
    case LEV_START_TRACE:
        break;
    }
    return start_trace(f, arena, out, err);
}
