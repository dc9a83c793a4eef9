/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Media to plan from: the drawer, or everything a shop could buy. */
#include "app_face.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "levigate/note.h"
#include "text.h"
#include "units.h"

static double disc_area_mm2(double diameter_mm)
{
    return LEV_PI * 0.25 * diameter_mm * diameter_mm;
}

/* Abrasive on one piece, 0 where one patch is the piece. */
static double piece_area_mm2(const char *carrier, double width_mm, double height_mm)
{
    static const char *const sheets[] = {"paper", "cloth", "film", "foam", "nonwoven"};
    if (!isfinite(width_mm) || !isfinite(height_mm)) {
        for (size_t i = 0; i < sizeof sheets / sizeof *sheets; i++)
            if (strcmp(sheets[i], carrier) == 0 && LEV_TAB_ABRASIVE_SIZE_N > 0)
                return lev_tab_abrasive_size[0].width_mm *
                       lev_tab_abrasive_size[0].length_mm;
        return 0.0;
    }
    return strcmp(carrier, "disc") == 0 ? disc_area_mm2(width_mm)
                                        : width_mm * height_mm;
}

/* Drives that take a carrier, as the planner wants them. */
static const char *drives_of(const char *carrier)
{
    static const char *const rows[][2] = {
        {"paper", "hand-plate;hand-wood;hand-cork;hand-felt;hand-foam;hand-bare;lathe"},
        {"cloth", "hand-plate;hand-wood;hand-cork;hand-felt;hand-foam;hand-bare;lathe"},
        {"film", "hand-plate;hand-wood;hand-felt;lap"},
        {"foam", "hand-foam;hand-bare"},
        {"nonwoven", "hand-foam;hand-bare;orbital"},
        {"belt", "belt"},
        {"disc", "orbital;disc"},
        {"stone", "hand-plate;hand-bare"},
        {"stick", "hand-bare"},
        {"powder", "lap;hand-felt"},
        {"paste", "lap;hand-felt;buff"},
        {"wool", "hand-bare"},
        {"file", ""}};
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++)
        if (strcmp(rows[i][0], carrier) == 0)
            return rows[i][1];
    return "";
}

static lev_cut_state state_of(const char *state)
{
    return strcmp(state, "fresh") == 0   ? LEV_CUT_FRESH
           : strcmp(state, "tired") == 0 ? LEV_CUT_TIRED
                                         : LEV_CUT_RUN_IN;
}

/* The grit's part of a medium; *usable is false for one without any size. */
static lev_status fill_grit(const lev_grit *g, lev_arena *arena, lev_face_medium *m,
                            bool *usable, lev_error *err)
{
    lev_status st = LEV_OK;
    lev_error why = {0};
    *usable =
        lev_resolve_grain(g, &m->grain, &m->notes, &why) >= 0 && isfinite(g->d50_um);
    m->system = g->system;
    m->method = g->method;
    m->d50_um = g->d50_um;
    m->mark = g->mark;
    LEV_TRY(lev_arena_text(arena, g->label, strlen(g->label), &m->label, err));
out:
    return st;
}

static lev_status fill_mineral(const char *id, const lev_grit *g, lev_face_medium *m,
                               lev_error *err)
{
    const lev_row_mineral *mineral = NULL;
    const lev_status st = lev_resolve_mineral(id, g, "", &mineral, err);
    if (st < 0)
        return st;
    m->mineral = mineral->id;
    m->mineral_hardness_gpa = isfinite(mineral->knoop_gpa) ? mineral->knoop_gpa : 0.0;
    return LEV_OK;
}

static lev_status from_drawer(const lev_job_medium *d, lev_arena *arena,
                              lev_face_medium *m, bool *usable, lev_error *err)
{
    lev_status st = LEV_OK;
    lev_grit g;
    *m = (lev_face_medium){.carrier = d->carrier,
                           .count = d->count,
                           .price_minor = (double)d->price_minor,
                           .state = state_of(d->state),
                           .waterproof =
                               d->waterproof || (!d->waterproof_given &&
                                                 strcmp(d->carrier, "paper") != 0 &&
                                                 strcmp(d->carrier, "disc") != 0),
                           .open_coat = d->open_coat,
                           .anti_clog = d->anti_clog,
                           .drives = drives_of(d->carrier)};
    LEV_TRY(lev_grit_find(d->system, d->label, d->method, &g, err));
    LEV_TRY(fill_grit(&g, arena, m, usable, err));
    LEV_TRY(fill_mineral(d->mineral, &g, m, err));
    m->sheet_mm2 = piece_area_mm2(d->carrier, d->width_mm, d->height_mm);
    *usable = *usable && d->count > 0.0 && m->drives[0] != '\0';
out:
    return st;
}

lev_status lev_media_drawer(const lev_job_medium *drawer, ptrdiff_t n, lev_arena *arena,
                            lev_media *out, lev_error *err)
{
    lev_status st = LEV_OK;
    void *p = NULL;
    lev_media media = {0};
    if (n == 0)
        return lev_fail(err, LEV_E_USAGE,
                        "the drawer is empty; put media into it, or leave "
                        "it out to plan from all media");
    LEV_TRY(lev_arena_new(arena, (size_t)n, sizeof *media.medium, &p, err));
    media.medium = p;
    for (ptrdiff_t i = 0; i < n; i++) {
        bool usable = false;
        LEV_TRY(from_drawer(&drawer[i], arena, &media.medium[media.n], &usable, err));
        media.n += usable;
    }
    if (media.n == 0)
        LEV_TRY(lev_fail(err, LEV_E_USAGE,
                         "nothing in the drawer can be planned with: "
                         "every count is 0 or no size is known"));
    *out = media;
out:
    return st;
}

/* ---- everything ---- */

static lev_status from_kind(const lev_row_medium_kind *k, const char *label,
                            lev_arena *arena, lev_face_medium *m, bool *usable,
                            lev_error *err)
{
    lev_status st = LEV_OK;
    lev_grit g;
    *m = (lev_face_medium){.carrier = k->carrier,
                           .count = INFINITY,
                           .price_minor = k->price_minor,
                           .state = LEV_CUT_RUN_IN,
                           .waterproof = k->waterproof != 0,
                           .drives = k->drives,
                           .sheet_mm2 =
                               piece_area_mm2(k->carrier, k->width_mm, k->height_mm)};
    if (strcmp(k->carrier, "paste") == 0 || strcmp(k->carrier, "stone") == 0 ||
        strcmp(k->carrier, "stick") == 0)
        m->sheet_mm2 = 0.0;
    LEV_TRY(lev_grit_find(k->system, label, "", &g, err));
    LEV_TRY(fill_grit(&g, arena, m, usable, err));
    LEV_TRY(fill_mineral(k->mineral, &g, m, err));
    m->notes |= LEV_NOTE_PRACTICE; /* the price */
out:
    return st;
}

static int count_labels(const char *labels)
{
    int n = 1;
    for (; *labels != '\0'; labels++)
        n += *labels == ';';
    return n;
}

static lev_status add_kind(const lev_row_medium_kind *k, lev_arena *arena,
                           lev_media *media, lev_error *err)
{
    lev_status st = LEV_OK;
    for (const char *p = k->labels; *p != '\0';) {
        char label[40];
        bool usable = false;
        const size_t n = strcspn(p, ";");
        (void)snprintf(label, sizeof label, "%.*s", (int)n, p);
        LEV_TRY(from_kind(k, label, arena, &media->medium[media->n], &usable, err));
        media->n += usable;
        p += n;
        p += *p == ';';
    }
out:
    return st;
}

lev_status lev_media_catalogue(const char *family, lev_arena *arena, lev_media *out,
                               lev_error *err)
{
    lev_status st = LEV_OK;
    void *p = NULL;
    lev_media media = {.catalogue = true};
    size_t most = 0;
    for (int i = 0; i < LEV_TAB_MEDIUM_KIND_N; i++)
        most += (size_t)count_labels(lev_tab_medium_kind[i].labels);
    LEV_TRY(lev_arena_new(arena, most, sizeof *media.medium, &p, err));
    media.medium = p;
    for (int i = 0; i < LEV_TAB_MEDIUM_KIND_N; i++)
        if (lev_text_in_list(family, lev_tab_medium_kind[i].families))
            LEV_TRY(add_kind(&lev_tab_medium_kind[i], arena, &media, err));
    *out = media;
out:
    return st;
}
