/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Fills a store with work that a seed makes up, through the store's own functions:
 * every table gets rows, texts have all that hurts a file format, numbers go to their
 * ends. */
#ifndef STORE_FILL_H
#define STORE_FILL_H

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "levigate/store.h"
#include "rng.h"

typedef struct fill {
    lev_store *s;
    lev_rng rng;
    uint64_t at;
    lev_error *err;
} fill;

static inline double fill_uniform(fill *f)
{
    return lev_rng_uniform(f->rng, f->at++, 7);
}

static inline int fill_below(fill *f, int n)
{
    return (int)(n * fill_uniform(f));
}

/* A positive number over many decades, or NaN in one of four. */
static inline double fill_maybe(fill *f)
{
    const double x = pow(10.0, 12.0 * fill_uniform(f) - 6.0);
    return fill_below(f, 4) == 0 ? (double)NAN : x;
}

static inline const char *fill_text(fill *f)
{
    static const char *const texts[] = {
        "",
        "plain",
        "with, comma; semicolon\tand tab",
        "\"quoted\" and ''",
        "two\nlines",
        "CR LF\r\nbehind",
        "K\xC3\xB6rnung 58,5 \xC2\xB5m",
        "{\"levigate\": 1}",
        "1.0",
        "null",
        "-0",
        " blanks ",
        "\\backslash\\",
        "\xE2\x80\x9Cleft\xE2\x80\x9D \xF0\x9F\xAA\xB5"};
    return texts[fill_below(f, (int)(sizeof texts / sizeof *texts))];
}

static inline lev_status fill_drawer(fill *f, int n)
{
    lev_status st = LEV_OK;
    static const char *const states[] = {"fresh", "run-in", "tired"};
    for (int i = 0; i < n; i++) {
        char label[16];
        int64_t id = 0;
        bool joined = false;
        double left = 0.0;
        (void)snprintf(label, sizeof label, "P%d", 100 + i);
        const lev_store_medium m = {.marking = label,
                                    .system = "P",
                                    .label = label,
                                    .method = fill_text(f),
                                    .mineral = "silicon-carbide",
                                    .carrier = "paper",
                                    .d50_um = fill_maybe(f),
                                    .width_mm = fill_maybe(f),
                                    .height_mm = fill_maybe(f),
                                    .count = 1e6 + fill_uniform(f),
                                    .price_minor = fill_below(f, 1000000),
                                    .state = states[fill_below(f, 3)],
                                    .waterproof = fill_below(f, 3) - 1,
                                    .open_coat = fill_below(f, 2) == 0,
                                    .anti_clog = fill_below(f, 2) == 0,
                                    .holes = fill_text(f),
                                    .lot = fill_text(f),
                                    .bought = "",
                                    .reorder_at = fill_maybe(f)};
        LEV_TRY(lev_store_drawer_add(f->s, &m, i, &id, &joined, f->err));
        LEV_TRY(lev_store_drawer_change(f->s, id, "take", -0.25, fill_text(f), i + 1,
                                        &left, f->err));
        if (i % 5 == 4)
            LEV_TRY(lev_store_drawer_remove(f->s, id, fill_text(f), i + 2, f->err));
    }
out:
    return st;
}

/* One job of `faces` faces with five steps each, under way; its number. */
static inline lev_status fill_job(fill *f, int number, int faces, int64_t *job)
{
    lev_status st = LEV_OK;
    char name[40], face[16];
    lev_store_step step[50];
    (void)snprintf(name, sizeof name, "job %d \"%d\", K\xC3\xB6", number, number);
    for (int i = 0; i < faces * 5 && i < 50; i++) {
        static char faces_of[50][16], labels[50][8];
        (void)snprintf(face, sizeof face, "f%d-%d", number, i / 5);
        memcpy(faces_of[i], face, sizeof face);
        (void)snprintf(labels[i], sizeof labels[i], "P%d", 100 + i);
        step[i] = (lev_store_step){.face = faces_of[i],
                                   .number = i % 5 + 1,
                                   .words = labels[i],
                                   .kind = "grit",
                                   .system = "P",
                                   .label = labels[i],
                                   .drive = "hand-cork",
                                   .push = "normal",
                                   .fluid = "dry",
                                   .material = "walnut",
                                   .family = "wood",
                                   .area_mm2 = 1e4,
                                   .budget_um = fill_maybe(f),
                                   .predicted_s = 60.0 + 600.0 * fill_uniform(f),
                                   .predicted_sheets = 0.5,
                                   .predicted_um = fill_maybe(f),
                                   .predicted_ra_um = fill_maybe(f),
                                   .predicted_gu = fill_maybe(f),
                                   .removal_factor = 1.0,
                                   .life_factor = 0.1 + fill_uniform(f),
                                   .texture_factor = 1.0,
                                   .gloss_factor = 1.0};
    }
    LEV_TRY(lev_store_job_add(f->s, name, "{}", fill_text(f), number, job, f->err));
    LEV_TRY(lev_store_job_change(f->s, *job, "{\n \"levigate\": 1\n}", fill_text(f),
                                 number + 1, f->err));
    LEV_TRY(lev_store_plan_freeze(f->s, *job, "usual", "{}", step, faces * 5,
                                  number + 2, f->err));
out:
    return st;
}

static inline int fill_keep_step(void *to, const lev_store_step *t)
{
    int64_t *ids = to; /* [0] = how many */
    if (ids[0] < 50)
        ids[++ids[0]] = t->id;
    return 0;
}

static inline lev_status fill_entry(fill *f, int64_t step, int64_t at_s)
{
    static const char *const verdicts[] = {"", "next-grit", "keep-at-it",
                                           "cannot-tell"};
    static const char *const people[] = {"RB", "K\xC3\x96", "apprentice"};
    static const char *const minerals[] = {"brown-alumina", "silicon-carbide"};
    const char *who = people[fill_below(f, 3)];
    const lev_store_entry e = {.step_id = step,
                               .at_s = at_s,
                               .who = who,
                               .work_s = fill_maybe(f),
                               .pause_s = 60.0 * fill_below(f, 3),
                               .about = fill_below(f, 2) == 0,
                               .sheets = 0.25 * fill_below(f, 4),
                               .before_g = NAN,
                               .after_g = NAN,
                               .off_um = fill_maybe(f),
                               .ra_um = fill_maybe(f),
                               .rq_um = NAN,
                               .rz_um = NAN,
                               .rt_um = NAN,
                               .gloss_gu = fill_maybe(f),
                               .verdict = verdicts[fill_below(f, 4)],
                               .words = fill_text(f)};
    const lev_store_cell cell = {"wood", "walnut", "hand-cork",
                                 minerals[fill_below(f, 2)], who};
    lev_store_fact facts[LEV_QUANTITY_N];
    lev_store_logged done;
    for (int q = 0; q < LEV_QUANTITY_N; q++)
        facts[q] = (lev_store_fact){(lev_quantity)q,
                                    0.3 * lev_rng_normal(f->rng, f->at++, 8), 0.05};
    return lev_store_log_add(f->s, &e, &cell, facts, LEV_QUANTITY_N, &done, f->err);
}

static inline lev_status fill_teach(fill *f, int64_t job, int number)
{
    lev_status st = LEV_OK;
    char code[16];
    int64_t id = 0;
    lev_store_coupon coupon[3];
    char codes[3][16];
    for (int i = 0; i < 3; i++) {
        (void)snprintf(code, sizeof code, "K%d%c", number, 'A' + i);
        memcpy(codes[i], code, sizeof code);
        coupon[i] = (lev_store_coupon){codes[i], fill_text(f), 1.0 + fill_uniform(f)};
    }
    const lev_store_file file = {
        .face = "f0-0",
        .name = fill_text(f),
        .sha256 = "0123456789abcdef0123456789abcdef0123456789abcdef0123456789abcdef",
        .words = fill_text(f),
        .at_s = number,
        .bytes = INT64_MAX};
    LEV_TRY(lev_store_attach(f->s, job, &file, f->err));
    LEV_TRY(lev_store_quote_add(f->s, job,
                                &(lev_store_quote){.at_s = number,
                                                   .count = 10,
                                                   .likely_minor = 20,
                                                   .low_minor = 10,
                                                   .high_minor = INT64_MAX,
                                                   .given_minor = 21,
                                                   .currency = "EUR",
                                                   .predicted_s = fill_uniform(f)},
                                f->err));
    LEV_TRY(lev_store_exercise_add(
        f->s,
        &(lev_store_exercise){
            .at_s = number, .seed = number, .kind = "depth", .unit = "um"},
        coupon, 3, &id, f->err));
    const lev_store_guess guess[] = {
        {.code = codes[0], .sheet = 1, .round = 1, .value = NAN},
        {.code = codes[1], .sheet = 1, .round = 1, .value = fill_uniform(f)}};
    LEV_TRY(lev_store_guess_add(f->s, id, guess, 2, number, f->err));
out:
    return st;
}

/** `jobs` jobs of two faces with `entries` log entries in all, a tenth of them undone.
 */
static inline lev_status fill_store(lev_store *s, uint64_t seed, int jobs, int entries,
                                    lev_error *err)
{
    lev_status st = LEV_OK;
    fill f = {.s = s, .rng = {seed}, .err = err};
    lev_store_undone undone;
    int done = 0;
    LEV_TRY(lev_store_set(s, "currency", "EUR", err));
    LEV_TRY(lev_store_set(s, "words", fill_text(&f), err));
    LEV_TRY(fill_drawer(&f, 20));
    for (int j = 0; j < jobs; j++) {
        int64_t job = 0, steps[51] = {0};
        LEV_TRY(fill_job(&f, j, 2, &job));
        LEV_TRY(lev_store_steps(s, job, fill_keep_step, steps, err));
        LEV_TRY(fill_teach(&f, job, j));
        for (; done < (int)((int64_t)entries * (j + 1) / jobs); done++) {
            LEV_TRY(
                fill_entry(&f, steps[1 + fill_below(&f, (int)steps[0])], 1000 + done));
            if (done % 10 == 9)
                LEV_TRY(lev_store_log_undo(s, "", 1000 + done, &undone, err));
        }
    }
out:
    return st;
}

#endif
