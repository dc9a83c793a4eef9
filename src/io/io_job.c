/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The job file: the job itself, its drawer and its faces. See job_io.h. */
#include "job_io.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "levigate/grit.h"
#include "levigate/material.h"
#include "lev_tables.h"
#include "bounds.h"
#include "mem.h"
#include "text.h"

enum { TEXT_BYTES = 200, DRIVES_MAX = 32 };

#define MEDIUM_KEYS                                                                    \
    "system;label;method;mineral;carrier;size_mm;count;price_minor;state;"             \
    "waterproof;open_coat;anti_clog"
#define FACE_KEYS                                                                      \
    "name;material;state;area_mm2;size_mm;shape;thickness_mm;hold;start;target;next;"  \
    "budget_um;drives;fluid"

void lev_job_release(lev_job *job)
{
    if (job == NULL)
        return;
    lev_arena *arena = job->memory;
    if (arena != NULL) {
        lev_arena_release(arena);
        lev_mem_free(arena);
    }
    *job = (lev_job){0};
}

/* "size_mm": [a, b] */
static lev_status read_size(const lev_json_in *in, const json_t *obj, const char *path,
                            double *a, double *b)
{
    lev_status st = LEV_OK;
    const json_t *list = NULL;
    lev_json_path sub;
    lev_json_path_key(sub, path, "size_mm");
    LEV_TRY(lev_json_get_array(in, obj, path, "size_mm", false, 2, &list));
    if (list == NULL)
        goto out;
    const json_t *v0 = json_array_get(list, 0), *v1 = json_array_get(list, 1);
    if (!json_is_number(v0) || !json_is_number(v1))
        LEV_TRY(lev_json_fail(in, sub,
                              "%s should be two numbers, [length, width] in mm", sub));
    *a = json_number_value(v0);
    *b = json_number_value(v1);
    if (!(*a > 0.0 && *b > 0.0 && *a <= 1e5 && *b <= 1e5))
        LEV_TRY(lev_json_fail(in, sub,
                              "%s is %g x %g; both should be above 0 and at most "
                              "100000 mm",
                              sub, *a, *b));
out:
    return st;
}

/* ---- drawer ---- */

lev_status lev_job_check_grit(const lev_json_in *in, const char *path,
                              const char *system, const char *label, const char *method)
{
    lev_grit g;
    lev_error why = {0};
    lev_json_path sub;
    if (lev_grit_find(system, label, method, &g, &why) >= 0)
        return LEV_OK;
    lev_json_path_key(sub, path, "label");
    return lev_json_fail(in, sub, "%s: %s", sub, why.text);
}

static lev_status check_mineral(const lev_json_in *in, const char *path, const char *id)
{
    lev_json_path sub;
    const char *near = "";
    int least = 5;
    for (int i = 0; i < LEV_TAB_MINERAL_N; i++) {
        const int d = lev_text_distance(id, lev_tab_mineral[i].id);
        if (d == 0)
            return LEV_OK;
        if (d < least) {
            least = d;
            near = lev_tab_mineral[i].id;
        }
    }
    lev_json_path_key(sub, path, "mineral");
    return lev_json_fail(in, sub, "%s \"%.60s\" is not known; %s%s", sub, id,
                         near[0] != '\0' ? "did you mean "
                                         : "known: silicon-carbide, "
                                           "brown-alumina, garnet, diamond and others",
                         near);
}

static lev_status read_medium(const lev_json_in *in, const json_t *v, const char *path,
                              lev_job_medium *out)
{
    lev_status st = LEV_OK;
    int64_t price = 0;
    lev_job_medium m = {
        .method = "", .state = "fresh", .width_mm = NAN, .height_mm = NAN};
    if (!json_is_object(v))
        LEV_TRY(lev_json_fail(in, path, "%s should be an object {...}", path));
    LEV_TRY(lev_json_keys(in, v, path, MEDIUM_KEYS));
    LEV_TRY(lev_json_get_text(in, v, path, "system", true, TEXT_BYTES, &m.system));
    LEV_TRY(lev_json_get_text(in, v, path, "label", true, TEXT_BYTES, &m.label));
    LEV_TRY(lev_json_get_text(in, v, path, "method", false, TEXT_BYTES, &m.method));
    LEV_TRY(lev_json_get_text(in, v, path, "mineral", true, TEXT_BYTES, &m.mineral));
    LEV_TRY(
        lev_json_get_word(in, v, path, "carrier", true,
                          "paper;cloth;film;foam;nonwoven;belt;disc;stone;stick;file;"
                          "powder;paste;wool",
                          &m.carrier));
    LEV_TRY(read_size(in, v, path, &m.width_mm, &m.height_mm));
    LEV_TRY(lev_json_get_number(in, v, path, "count", true, 0.0, 1e6, &m.count));
    LEV_TRY(lev_json_get_int(in, v, path, "price_minor", true, 0, 100000000, &price));
    LEV_TRY(
        lev_json_get_word(in, v, path, "state", false, "fresh;run-in;tired", &m.state));
    m.waterproof_given = json_object_get(v, "waterproof") != NULL;
    LEV_TRY(lev_json_get_flag(in, v, path, "waterproof", &m.waterproof));
    LEV_TRY(lev_json_get_flag(in, v, path, "open_coat", &m.open_coat));
    LEV_TRY(lev_json_get_flag(in, v, path, "anti_clog", &m.anti_clog));
    LEV_TRY(lev_job_check_grit(in, path, m.system, m.label, m.method));
    LEV_TRY(check_mineral(in, path, m.mineral));
    m.price_minor = price;
    *out = m;
out:
    return st;
}

static lev_status read_drawer(const lev_json_in *in, lev_job *job)
{
    lev_status st = LEV_OK;
    const json_t *list = NULL;
    void *p = NULL;
    LEV_TRY(
        lev_json_get_array(in, in->root, "", "drawer", false, LEV_LIMIT_DRAWER, &list));
    if (list == NULL)
        goto out;
    job->has_drawer = true;
    job->drawer_n = (ptrdiff_t)json_array_size(list);
    LEV_TRY(lev_arena_new(in->arena, (size_t)job->drawer_n, sizeof *job->drawer, &p,
                          in->err));
    job->drawer = p;
    for (ptrdiff_t i = 0; i < job->drawer_n; i++) {
        lev_json_path path;
        lev_json_path_index(path, "drawer", (size_t)i);
        LEV_TRY(
            read_medium(in, json_array_get(list, (size_t)i), path, &job->drawer[i]));
    }
out:
    return st;
}

/* ---- faces ---- */

static lev_status check_name(const lev_json_in *in, const char *path, const char *name)
{
    lev_json_path sub;
    lev_json_path_key(sub, path, "name");
    if (name[strspn(name, "abcdefghijklmnopqrstuvwxyz0123456789-")] != '\0')
        return lev_json_fail(
            in, sub,
            "face name \"%.50s\" should be of small letters a-z, digits "
            "and -, such as \"front-plate\"",
            name);
    return LEV_OK;
}

static lev_status check_material(const lev_json_in *in, const char *path,
                                 lev_job_face *face)
{
    lev_material m;
    lev_error why = {0};
    lev_json_path sub;
    if (lev_material_find(face->material, &m, &why) < 0) {
        lev_json_path_key(sub, path, "material");
        return lev_json_fail(in, sub, "%s: %s", sub, why.text);
    }
    face->material = m.id;
    return LEV_OK;
}

static lev_status read_area(const lev_json_in *in, const json_t *v, const char *path,
                            lev_job_face *f)
{
    lev_status st = LEV_OK;
    const bool area = json_object_get(v, "area_mm2") != NULL;
    const bool size = json_object_get(v, "size_mm") != NULL;
    if (area == size)
        LEV_TRY(lev_json_fail(in, path,
                              "%s should have one of area_mm2 and size_mm, it has "
                              "%s",
                              path, area ? "both" : "neither"));
    LEV_TRY(
        lev_json_get_number(in, v, path, "area_mm2", false, 0.01, 1e9, &f->area_mm2));
    LEV_TRY(read_size(in, v, path, &f->length_mm, &f->width_mm));
    if (size)
        f->area_mm2 = f->length_mm * f->width_mm;
    if (!(f->area_mm2 >= 0.01 && f->area_mm2 <= 1e9))
        LEV_TRY(lev_json_fail(in, path,
                              "%s has an area of %g mm2; it should be from 0.01 "
                              "to 1e9",
                              path, f->area_mm2));
out:
    return st;
}

static bool is_drive(const char *id)
{
    for (int i = 0; i < LEV_TAB_DRIVE_N; i++)
        if (strcmp(lev_tab_drive[i].id, id) == 0)
            return true;
    return false;
}

static lev_status read_drives(const lev_json_in *in, const json_t *v, const char *path,
                              lev_job_face *f)
{
    lev_status st = LEV_OK;
    const json_t *list = NULL;
    void *p = NULL;
    LEV_TRY(lev_json_get_array(in, v, path, "drives", false, DRIVES_MAX, &list));
    if (list == NULL)
        goto out;
    f->drives_n = (ptrdiff_t)json_array_size(list);
    if (f->drives_n == 0)
        LEV_TRY(
            lev_json_fail(in, path, "%s.drives is empty; leave it out for any", path));
    LEV_TRY(
        lev_arena_new(in->arena, (size_t)f->drives_n, sizeof *f->drives, &p, in->err));
    f->drives = p;
    for (ptrdiff_t i = 0; i < f->drives_n; i++) {
        const json_t *item = json_array_get(list, (size_t)i);
        const char *s = json_string_value(item);
        lev_json_path drives, sub;
        lev_json_path_key(drives, path, "drives");
        lev_json_path_index(sub, drives, (size_t)i);
        if (s == NULL || !is_drive(s))
            LEV_TRY(
                lev_json_fail(in, sub,
                              "%s \"%.40s\" is no drive; known: hand-plate, hand-wood, "
                              "hand-cork, hand-felt, hand-foam, hand-bare, orbital, "
                              "disc, belt, wheel, buff, lathe, lap",
                              sub, s != NULL ? s : "?"));
        /* NOLINTNEXTLINE: a NULL text was refused above */
        LEV_TRY(lev_arena_text(in->arena, s, strlen(s), &f->drives[i], in->err));
    }
out:
    return st;
}

static lev_status read_face(const lev_json_in *in, const json_t *v, const char *path,
                            lev_job_face *out)
{
    lev_status st = LEV_OK;
    lev_job_face f = {.state = "",
                      .shape = "flat",
                      .hold = "",
                      .next = "none",
                      .fluid = "any",
                      .area_mm2 = NAN,
                      .length_mm = NAN,
                      .width_mm = NAN,
                      .thickness_mm = NAN,
                      .budget_um = NAN};
    if (!json_is_object(v))
        LEV_TRY(lev_json_fail(in, path, "%s should be an object {...}", path));
    LEV_TRY(lev_json_keys(in, v, path, FACE_KEYS));
    LEV_TRY(
        lev_json_get_text(in, v, path, "name", true, LEV_LIMIT_NAME_BYTES, &f.name));
    LEV_TRY(check_name(in, path, f.name));
    LEV_TRY(lev_json_get_text(in, v, path, "material", true, TEXT_BYTES, &f.material));
    LEV_TRY(lev_json_get_text(in, v, path, "state", false, TEXT_BYTES, &f.state));
    LEV_TRY(lev_json_get_text(in, v, path, "hold", false, TEXT_BYTES, &f.hold));
    LEV_TRY(lev_json_get_word(in, v, path, "shape", true,
                              "flat;turned;curved;inside;edge", &f.shape));
    LEV_TRY(lev_json_get_word(in, v, path, "next", false,
                              "paint;oil;stain;wax;lacquer;plate;adhesive;none",
                              &f.next));
    LEV_TRY(lev_json_get_word(in, v, path, "fluid", false, "any;wet;dry", &f.fluid));
    LEV_TRY(lev_json_get_number(in, v, path, "thickness_mm", false, 1e-3, 1e4,
                                &f.thickness_mm));
    LEV_TRY(
        lev_json_get_number(in, v, path, "budget_um", false, 0.0, 1e5, &f.budget_um));
    LEV_TRY(read_area(in, v, path, &f));
    LEV_TRY(read_drives(in, v, path, &f));
    LEV_TRY(check_material(in, path, &f));
    LEV_TRY(lev_job_read_start(in, v, path, &f.start));
    LEV_TRY(lev_job_read_target(in, v, path, &f.target));
    *out = f;
out:
    return st;
}

static lev_status read_faces(const lev_json_in *in, lev_job *job)
{
    lev_status st = LEV_OK;
    const json_t *list = NULL;
    void *p = NULL;
    LEV_TRY(
        lev_json_get_array(in, in->root, "", "faces", true, LEV_LIMIT_FACES, &list));
    job->faces_n = (ptrdiff_t)json_array_size(list);
    if (job->faces_n == 0)
        LEV_TRY(lev_json_fail(in, "faces",
                              "faces is empty; a job needs at least one face"));
    LEV_TRY(lev_arena_new(in->arena, (size_t)job->faces_n, sizeof *job->faces, &p,
                          in->err));
    job->faces = p;
    for (ptrdiff_t i = 0; i < job->faces_n; i++) {
        lev_json_path path;
        lev_json_path_index(path, "faces", (size_t)i);
        LEV_TRY(read_face(in, json_array_get(list, (size_t)i), path, &job->faces[i]));
        for (ptrdiff_t k = 0; k < i; k++)
            if (strcmp(job->faces[k].name, job->faces[i].name) == 0) {
                lev_json_path sub;
                lev_json_path_key(sub, path, "name");
                LEV_TRY(lev_json_fail(
                    in, sub, "%s \"%s\" stands twice; names of faces must differ", sub,
                    job->faces[i].name));
            }
    }
out:
    return st;
}

/* ---- the whole ---- */

static lev_status read_currency(const lev_json_in *in, const char **out)
{
    lev_status st = LEV_OK;
    LEV_TRY(lev_json_get_text(in, in->root, "", "currency", true, 3, out));
    if (strlen(*out) != 3 || (*out)[strspn(*out, "ABCDEFGHIJKLMNOPQRSTUVWXYZ")] != '\0')
        LEV_TRY(lev_json_fail(
            in, "currency", "currency \"%s\" should be three capitals, such as \"EUR\"",
            *out));
out:
    return st;
}

static lev_status read_job(const lev_json_in *in, lev_job *job)
{
    lev_status st = LEV_OK;
    int64_t version = 0, count = 1;
    LEV_TRY(
        lev_json_keys(in, in->root, "",
                      "levigate;name;count;currency;labour_minor_per_h;drawer;faces"));
    LEV_TRY(lev_json_get_int(in, in->root, "", "levigate", true, 1, 1, &version));
    LEV_TRY(lev_json_get_text(in, in->root, "", "name", true, TEXT_BYTES, &job->name));
    LEV_TRY(lev_json_get_int(in, in->root, "", "count", false, 1, 100000, &count));
    LEV_TRY(read_currency(in, &job->currency));
    LEV_TRY(lev_json_get_int(in, in->root, "", "labour_minor_per_h", true, 0, 100000000,
                             &job->labour_minor_per_h));
    job->count = (int)count;
    LEV_TRY(read_drawer(in, job));
    LEV_TRY(read_faces(in, job));
out:
    return st;
}

lev_status lev_job_read(const char *name, lev_bytes *text, lev_job *out, lev_error *err)
{
    lev_status st = LEV_OK;
    lev_job job = {0};
    lev_json_in in = {0};
    LEV_TRY(lev_mem_new(1, sizeof(lev_arena), &job.memory, err));
    LEV_TRY(lev_json_in_open(&in, name, text, job.memory, err));
    LEV_TRY(read_job(&in, &job));
    *out = job;
    job = (lev_job){0};
out:
    lev_json_in_release(&in);
    lev_bytes_release(text);
    lev_job_release(&job);
    return st;
}

lev_status lev_job_load(const char *path, lev_job *out, lev_error *err)
{
    lev_bytes text = {0};
    const lev_status st = lev_bytes_read(path, LEV_LIMIT_JOB_BYTES, &text, err);
    if (st < 0)
        return st;
    return lev_job_read(strcmp(path, "-") == 0 ? "standard input" : path, &text, out,
                        err);
}
