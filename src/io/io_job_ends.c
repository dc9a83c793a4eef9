/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The job file: where a face starts and what it must become. See job_io.h. */
#include "job_io.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "lev_tables.h"

enum { TEXT_BYTES = 200 };

#define KIND_WORD(name, text) text ";"
static const char START_KINDS[] = LEV_START_LIST(KIND_WORD);
static const char TARGET_KINDS[] = LEV_TARGET_LIST(KIND_WORD);
#undef KIND_WORD
#define KIND_TEXT(name, text) text,
static const char *const START_NAMES[] = {LEV_START_LIST(KIND_TEXT)};
static const char *const TARGET_NAMES[] = {LEV_TARGET_LIST(KIND_TEXT)};
#undef KIND_TEXT

static int index_of(const char *word, const char *const *names, int n)
{
    for (int i = 0; i < n; i++)
        if (strcmp(names[i], word) == 0)
            return i;
    return 0;
}

/* ---- start ---- */

static lev_status read_depth(const lev_json_in *in, const json_t *v, const char *path,
                             lev_job_start *s)
{
    lev_status st = LEV_OK;
    LEV_TRY(lev_json_keys(in, v, path, "kind;depth_um;spacing_um;how"));
    LEV_TRY(
        lev_json_get_number(in, v, path, "depth_um", true, 1e-3, 1e5, &s->depth_um));
    LEV_TRY(lev_json_get_number(in, v, path, "spacing_um", false, 1e-1, 1e6,
                                &s->spacing_um));
    LEV_TRY(lev_json_get_word(in, v, path, "how", true,
                              "nail;needle;eye;gauge;replica;trace;photo;guess",
                              &s->how));
out:
    return st;
}

static lev_status read_process(const lev_json_in *in, const json_t *v, const char *path,
                               lev_job_start *s)
{
    lev_status st = LEV_OK;
    LEV_TRY(lev_json_keys(in, v, path, "kind;process;coat_um"));
    LEV_TRY(
        lev_json_get_word(in, v, path, "process", true,
                          "sawn;milled;turned;filed;planed;scraped;cast;rolled;ground;"
                          "eroded;rust;coat",
                          &s->process));
    LEV_TRY(lev_json_get_number(in, v, path, "coat_um", false, 1e-3, 1e4, &s->coat_um));
    if (isfinite(s->coat_um) && strcmp(s->process, "coat") != 0)
        LEV_TRY(lev_json_fail(in, path, "%s.coat_um belongs to process \"coat\" only",
                              path));
out:
    return st;
}

static lev_status read_grit(const lev_json_in *in, const json_t *v, const char *path,
                            lev_job_start *s)
{
    lev_status st = LEV_OK;
    LEV_TRY(lev_json_keys(in, v, path, "kind;system;label;method"));
    LEV_TRY(lev_json_get_text(in, v, path, "system", true, TEXT_BYTES, &s->system));
    LEV_TRY(lev_json_get_text(in, v, path, "label", true, TEXT_BYTES, &s->label));
    LEV_TRY(lev_json_get_text(in, v, path, "method", false, TEXT_BYTES, &s->method));
    LEV_TRY(lev_job_check_grit(in, path, s->system, s->label, s->method));
out:
    return st;
}

lev_status lev_job_read_start(const lev_json_in *in, const json_t *face,
                              const char *path, lev_job_start *out)
{
    lev_status st = LEV_OK;
    const json_t *v = NULL;
    const char *kind = NULL;
    lev_json_path sub;
    lev_job_start s = {.depth_um = NAN,
                       .spacing_um = NAN,
                       .coat_um = NAN,
                       .how = "",
                       .process = "",
                       .system = "",
                       .label = "",
                       .method = "",
                       .file = ""};
    lev_json_path_key(sub, path, "start");
    LEV_TRY(lev_json_get_object(in, face, path, "start", true, &v));
    LEV_TRY(lev_json_get_word(in, v, sub, "kind", true, START_KINDS, &kind));
    s.kind = (lev_start_kind)index_of(kind, START_NAMES,
                                      sizeof START_NAMES / sizeof *START_NAMES);
    switch (s.kind) {
    case LEV_START_DEPTH:
        LEV_TRY(read_depth(in, v, sub, &s));
        break;
    case LEV_START_PROCESS:
        LEV_TRY(read_process(in, v, sub, &s));
        break;
    case LEV_START_GRIT:
        LEV_TRY(read_grit(in, v, sub, &s));
        break;
    case LEV_START_TRACE:
        LEV_TRY(lev_json_keys(in, v, sub, "kind;file"));
        LEV_TRY(lev_json_get_text(in, v, sub, "file", true, 4000, &s.file));
        break;
    }
    *out = s;
out:
    return st;
}

/* ---- target ---- */

static lev_status read_limit(const lev_json_in *in, const json_t *v, const char *path,
                             lev_job_target *t)
{
    lev_status st = LEV_OK;
    int64_t readings = 0;
    LEV_TRY(lev_json_keys(in, v, path, "kind;symbol;max_um;min_um;rule;readings"));
    LEV_TRY(lev_json_get_word(in, v, path, "symbol", true, "Ra;Rz;Sa", &t->symbol));
    LEV_TRY(lev_json_get_number(in, v, path, "max_um", true, 1e-4, 1e3, &t->max_um));
    LEV_TRY(lev_json_get_number(in, v, path, "min_um", false, 0.0, 1e3, &t->min_um));
    LEV_TRY(lev_json_get_word(in, v, path, "rule", true, "max;16pct;mean", &t->rule));
    LEV_TRY(lev_json_get_int(in, v, path, "readings", false, 1, 1000, &readings));
    t->readings = (int)readings;
    if (t->min_um >= t->max_um)
        LEV_TRY(lev_json_fail(in, path, "%s.min_um %g should be below max_um %g", path,
                              t->min_um, t->max_um));
out:
    return st;
}

static lev_status class_unknown(const lev_json_in *in, const char *path,
                                const lev_job_target *t, bool standard_known)
{
    lev_json_path sub;
    lev_json_path_key(sub, path, standard_known ? "class" : "standard");
    if (standard_known)
        return lev_json_fail(in, sub, "%s has no class \"%.40s\" here", t->standard,
                             t->class_name);
    return lev_json_fail(in, sub,
                         "no standard \"%.60s\" here; see `levigate material "
                         "--classes`",
                         t->standard);
}

static lev_status read_class(const lev_json_in *in, const json_t *v, const char *path,
                             lev_job_target *t)
{
    lev_status st = LEV_OK;
    bool standard_known = false;
    LEV_TRY(lev_json_keys(in, v, path, "kind;standard;class"));
    LEV_TRY(lev_json_get_text(in, v, path, "standard", true, TEXT_BYTES, &t->standard));
    LEV_TRY(lev_json_get_text(in, v, path, "class", true, TEXT_BYTES, &t->class_name));
    for (int i = 0; i < LEV_TAB_FINISH_CLASS_N; i++) {
        if (strcmp(lev_tab_finish_class[i].standard, t->standard) != 0)
            continue;
        standard_known = true;
        if (strcmp(lev_tab_finish_class[i].class_name, t->class_name) == 0)
            goto out;
    }
    LEV_TRY(class_unknown(in, path, t, standard_known));
out:
    return st;
}

static lev_status read_gloss(const lev_json_in *in, const json_t *v, const char *path,
                             lev_job_target *t)
{
    lev_status st = LEV_OK;
    int64_t angle = 0;
    LEV_TRY(lev_json_keys(in, v, path, "kind;gu;angle_deg;lay"));
    LEV_TRY(lev_json_get_number(in, v, path, "gu", true, 0.0, 2000.0, &t->gu));
    LEV_TRY(lev_json_get_int(in, v, path, "angle_deg", true, 20, 85, &angle));
    if (angle != 20 && angle != 60 && angle != 85)
        LEV_TRY(lev_json_fail(in, path,
                              "%s.angle_deg is %d; gloss is measured at 20, 60 or "
                              "85",
                              path, (int)angle));
    LEV_TRY(lev_json_get_word(in, v, path, "lay", true, "along;across", &t->lay));
    t->angle_deg = (double)angle;
out:
    return st;
}

static lev_status read_by_kind(const lev_json_in *in, const json_t *v, const char *path,
                               lev_job_target *t)
{
    lev_status st = LEV_OK;
    int64_t n = 0;
    switch (t->kind) {
    case LEV_TARGET_LIMIT:
        LEV_TRY(read_limit(in, v, path, t));
        break;
    case LEV_TARGET_N_GRADE:
        LEV_TRY(lev_json_keys(in, v, path, "kind;n"));
        LEV_TRY(lev_json_get_int(in, v, path, "n", true, 1, 12, &n));
        t->n = (int)n;
        break;
    case LEV_TARGET_CLASS:
        LEV_TRY(read_class(in, v, path, t));
        break;
    case LEV_TARGET_LOOK:
        LEV_TRY(lev_json_keys(in, v, path, "kind;look"));
        LEV_TRY(
            lev_json_get_word(in, v, path, "look", true,
                              "clean;satin;grained;sheen;bright;mirror;black-polish;"
                              "matt",
                              &t->look));
        break;
    case LEV_TARGET_GLOSS:
        LEV_TRY(read_gloss(in, v, path, t));
        break;
    case LEV_TARGET_READABLE:
        LEV_TRY(lev_json_keys(in, v, path, "kind;type_mm;distance_mm"));
        LEV_TRY(
            lev_json_get_number(in, v, path, "type_mm", true, 0.1, 1e3, &t->type_mm));
        LEV_TRY(lev_json_get_number(in, v, path, "distance_mm", true, 1.0, 1e5,
                                    &t->distance_mm));
        break;
    case LEV_TARGET_LAST_GRIT:
        LEV_TRY(lev_json_keys(in, v, path, "kind;system;label"));
        LEV_TRY(lev_json_get_text(in, v, path, "system", true, TEXT_BYTES, &t->system));
        LEV_TRY(lev_json_get_text(in, v, path, "label", true, TEXT_BYTES, &t->label));
        LEV_TRY(lev_job_check_grit(in, path, t->system, t->label, ""));
        break;
    }
out:
    return st;
}

lev_status lev_job_read_target(const lev_json_in *in, const json_t *face,
                               const char *path, lev_job_target *out)
{
    lev_status st = LEV_OK;
    const json_t *v = NULL;
    const char *kind = NULL;
    lev_json_path sub;
    lev_job_target t = {.symbol = "",
                        .rule = "",
                        .standard = "",
                        .class_name = "",
                        .look = "",
                        .lay = "",
                        .system = "",
                        .label = "",
                        .max_um = NAN,
                        .min_um = NAN,
                        .gu = NAN,
                        .angle_deg = NAN,
                        .type_mm = NAN,
                        .distance_mm = NAN};
    lev_json_path_key(sub, path, "target");
    LEV_TRY(lev_json_get_object(in, face, path, "target", true, &v));
    LEV_TRY(lev_json_get_word(in, v, sub, "kind", true, TARGET_KINDS, &kind));
    t.kind = (lev_target_kind)index_of(kind, TARGET_NAMES,
                                       sizeof TARGET_NAMES / sizeof *TARGET_NAMES);
    LEV_TRY(read_by_kind(in, v, sub, &t));
    *out = t;
out:
    return st;
}
