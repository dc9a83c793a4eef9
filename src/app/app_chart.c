/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The wall chart: one band a system and measuring method, in the order of the table of
 * systems. Rows without any size are left out. */
#include "app_chart.h"

#include <math.h>
#include <string.h>

#include "app_backend.h"
#include "arena.h"
#include "lev_tables.h"
#include "levigate/grit.h"
#include "levigate/levigate.h"
#include "mem.h"

enum { BANDS_MAX = 80, ROWS_MAX = 1200 };

typedef struct chart {
    lev_card_chart_band band[BANDS_MAX];
    lev_card_chart_row row[ROWS_MAX];
    lev_card_chart_mark mark[LEV_TAB_LIKENESS_N + 1];
    ptrdiff_t bands, rows, marks;
    lev_arena arena;
} chart;

static bool has_size(const lev_grit *g)
{
    return isfinite(g->d50_um) || (isfinite(g->coarse_um) && isfinite(g->fine_um));
}

static lev_status add_row(chart *c, const lev_grit *g, lev_error *err)
{
    lev_status st = LEV_OK;
    const char *label = NULL;
    if (c->rows == ROWS_MAX)
        return lev_fail(err, LEV_E_LIMIT, "more than %d grits on one chart", ROWS_MAX);
    LEV_TRY(lev_arena_text(&c->arena, g->label, strlen(g->label), &label, err));
    c->row[c->rows++] = (lev_card_chart_row){.label = label,
                                             .d50_um = g->d50_um,
                                             .coarse_um = g->coarse_um,
                                             .fine_um = g->fine_um,
                                             .from_memory = g->mark == LEV_MARK_MEMORY};
out:
    return st;
}

static const char *method_words(const char *method)
{
    static const char *const words[][2] = {
        {"sieve", "by sieves"},
        {"sedimentation", "by settling in a tube"},
        {"photosedimentometer", "by light through a settling suspension"},
        {"electrical-resistance", "by electrical resistance"},
        {"range", "range between two limits"},
        {"strand", "width of a strand"},
        {"nominal", "nominal, as commonly told"}};
    for (size_t i = 0; i < sizeof words / sizeof *words; i++)
        if (strcmp(words[i][0], method) == 0)
            return words[i][1];
    return method;
}

/* All rows of one system by one method; no band when there are none. */
static lev_status add_band(chart *c, const lev_row_system *system, const char *method,
                           lev_error *err)
{
    lev_status st = LEV_OK;
    const ptrdiff_t first = c->rows;
    for (int i = 0; i < lev_grit_count(); i++) {
        const lev_grit g = lev_grit_at(i);
        if (strcmp(g.system, system->id) == 0 && strcmp(g.method, method) == 0 &&
            has_size(&g))
            LEV_TRY(add_row(c, &g, err));
    }
    if (c->rows == first)
        goto out;
    if (c->bands == BANDS_MAX)
        LEV_TRY(
            lev_fail(err, LEV_E_LIMIT, "more than %d bands on one chart", BANDS_MAX));
    c->band[c->bands++] = (lev_card_chart_band){.system = system->name,
                                                .method = method_words(method),
                                                .row = &c->row[first],
                                                .rows = c->rows - first};
out:
    return st;
}

static lev_status add_system(chart *c, const lev_row_system *system, lev_error *err)
{
    lev_status st = LEV_OK;
    for (int i = 0; i < lev_grit_count(); i++) {
        const lev_grit g = lev_grit_at(i);
        bool first = strcmp(g.system, system->id) == 0;
        for (int k = 0; first && k < i; k++) {
            const lev_grit before = lev_grit_at(k);
            first = strcmp(before.system, g.system) != 0 ||
                    strcmp(before.method, g.method) != 0;
        }
        if (first)
            LEV_TRY(add_band(c, system, g.method, err));
    }
out:
    return st;
}

static void add_marks(chart *c)
{
    const double eye_um = 250e3 * (3.14159265358979323846 / (180.0 * 60.0));
    c->mark[c->marks++] = (lev_card_chart_mark){
        "what the eye resolves at 250 mm (1 minute of arc)", eye_um, eye_um};
    for (int i = 0; i < LEV_TAB_LIKENESS_N; i++)
        c->mark[c->marks++] =
            (lev_card_chart_mark){lev_tab_likeness[i].words, lev_tab_likeness[i].low_um,
                                  lev_tab_likeness[i].high_um};
}

static lev_status draw(const chart *c, const char *path, const char *paper,
                       lev_error *err)
{
    lev_status st = LEV_OK;
    const lev_card_api *card = NULL;
    char today[11], version[40] = "levigate ";
    lev_drawing d = {.sink = {.fd = -1}};
    lev_today(today);
    strncat(version, lev_version(), sizeof version - strlen(version) - 1);
    const lev_card_chart view = {
        .head = {.title = "What the numbers mean in micrometres",
                 .date = today,
                 .version = version,
                 .paper = strcmp(paper, "A3") == 0 ? LEV_CARD_A3 : LEV_CARD_A2},
        .subtitle =
            "Every grit system by what was measured: the same number is not the "
            "same grain",
        .band = c->band,
        .bands = c->bands,
        .mark = c->mark,
        .marks = c->marks,
        .foot =
            "Bars run from the coarse to the fine limit a standard allows, the tick is "
            "the median or published average. Hatched: from memory, not checked "
            "against "
            "the standard. Sizes by different methods are not comparable to the "
            "digit."};
    LEV_TRY(lev_backend_card(&card, err));
    LEV_TRY(lev_drawing_open(&d, path, err));
    LEV_TRY(card->chart(&view, &d.out, err));
    LEV_TRY(lev_drawing_commit(&d, err));
out:
    lev_drawing_release(&d);
    return st;
}

lev_status lev_app_chart(const char *path, const char *paper, lev_error *err)
{
    lev_status st = LEV_OK;
    void *p = NULL;
    lev_card_format format;
    LEV_TRY(lev_backend_format(path, &format, err));
    LEV_TRY(lev_mem_new(1, sizeof(chart), &p, err));
    chart *c = p;
    for (int i = 0; i < LEV_TAB_SYSTEM_N; i++)
        LEV_TRY(add_system(c, &lev_tab_system[i], err));
    add_marks(c);
    LEV_TRY(draw(c, path, paper, err));
out:
    if (p != NULL)
        lev_arena_release(&((chart *)p)->arena);
    lev_mem_free(p);
    return st;
}
