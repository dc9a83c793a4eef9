/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Exercises on paper, on the terminal and as JSON. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "app_backend.h"
#include "app_exercise.h"
#include "json.h"
#include "levigate/levigate.h"

/* Three figures that count, and no powers of ten. */
static int decimals(double x)
{
    return x < 10.0 ? 2 : x < 100.0 ? 1 : 0;
}

/* ---- paper ---- */

enum { CELLS = 8 * LEV_EXERCISE_COUPONS };

typedef struct paper {
    const char *cell[CELLS];
    char text[CELLS][64];
    int n;
} paper;

static void put_cell(paper *p, const char *text)
{
    if (p->n == CELLS)
        return;
    (void)snprintf(p->text[p->n], sizeof p->text[0], "%.63s", text);
    p->cell[p->n] = p->text[p->n];
    p->n++;
}

static void worksheet_cells(const lev_exercise *x, paper *p)
{
    for (int i = 0; i < x->coupons; i++) {
        char pair[32] = "";
        if (i + 1 < x->coupons)
            (void)snprintf(pair, sizeof pair, "%s   %s", x->coupon[i].code,
                           x->coupon[i + 1].code);
        put_cell(p, x->coupon[i].code);
        put_cell(p, pair);
        put_cell(p, "");
        put_cell(p, "");
    }
}

static void key_cells(const lev_exercise *x, paper *p)
{
    for (int i = 0; i < x->coupons; i++) {
        char truth[32];
        (void)snprintf(truth, sizeof truth, "%.*f %s", decimals(x->coupon[i].truth),
                       x->coupon[i].truth, x->row->unit);
        put_cell(p, x->coupon[i].code);
        put_cell(p, x->coupon[i].words);
        put_cell(p, truth);
        put_cell(p, i + 1 == x->coupons ? ""
                    : x->coupon[i].truth > x->coupon[i + 1].truth
                        ? x->coupon[i].code
                        : x->coupon[i + 1].code);
    }
}

lev_status lev_exercise_print(const lev_exercise *x, int copies, const char *path,
                              const char *paper_name, lev_error *err)
{
    lev_status st = LEV_OK;
    const lev_card_api *card = NULL;
    paper p = {.n = 0};
    char title[120], second[40], third[40], foot[120], today[11];
    const bool key = copies == 0;
    lev_drawing d = {.sink = {.fd = -1}};
    const char *const worksheet[] = {"code", "pair: ring the larger", second, third};
    const char *const answers[] = {"code", "what it is", "truth", "larger of the pair"};
    const lev_card_section section[] = {{"Guess", x->row->guess},
                                        {"Do", x->row->act},
                                        {"Measure", x->row->measure},
                                        {"Why", x->row->why}};
    (void)snprintf(second, sizeof second, "guess, %s", x->row->unit);
    (void)snprintf(third, sizeof third, "measured, %s", x->row->unit);
    if (key)
        (void)snprintf(foot, sizeof foot, "exercise %lld, seed %lld", (long long)x->id,
                       (long long)x->seed);
    else /* the seed would give the codes away */
        (void)snprintf(foot, sizeof foot,
                       "exercise %lld; no name needed; a ? for unsure counts",
                       (long long)x->id);
    (void)snprintf(title, sizeof title, "%s%s", key ? "Answer key: " : "",
                   x->row->words);
    if (key)
        key_cells(x, &p);
    else
        worksheet_cells(x, &p);
    lev_today(today);
    const lev_card_sheet view = {.head = {.title = title,
                                          .date = today,
                                          .version = "levigate",
                                          .paper = strcmp(paper_name, "Letter") == 0
                                                       ? LEV_CARD_LETTER
                                                       : LEV_CARD_A4},
                                 .copies = copies,
                                 .section = section,
                                 .sections = key ? 4 : 3, /* why is told afterwards */
                                 .column = key ? answers : worksheet,
                                 .cell = p.cell,
                                 .columns = 4,
                                 .rows = x->coupons,
                                 .foot = foot};
    LEV_TRY(lev_backend_card(&card, err));
    LEV_TRY(lev_drawing_open(&d, path, err));
    LEV_TRY(card->sheet(&view, &d.out, err));
    LEV_TRY(lev_drawing_commit(&d, err));
out:
    lev_drawing_release(&d);
    return st;
}

/* ---- terminal ---- */

void lev_exercise_kinds_text(lev_text *t)
{
    lev_text_print(t, "%d EXERCISES\n", LEV_TAB_EXERCISE_N);
    lev_text_add(t, "`levigate exercise make KIND -o sheet.pdf` prints one\n");
    for (int i = 0; i < LEV_TAB_EXERCISE_N; i++)
        lev_text_print(t, "  %-14s %s\n", lev_tab_exercise[i].id,
                       lev_tab_exercise[i].words);
}

void lev_exercise_text(lev_text *t, const lev_exercise *x, bool key)
{
    lev_text_print(t, "EXERCISE %lld: %d COUPONS\n", (long long)x->id, x->coupons);
    lev_text_print(t, "%s; seed %lld makes the same codes again\n", x->row->words,
                   (long long)x->seed);
    for (int i = 0; i < x->coupons; i++)
        if (key)
            lev_text_print(t, "  %-4s %-40s %.*f %s\n", x->coupon[i].code,
                           x->coupon[i].words, decimals(x->coupon[i].truth),
                           x->coupon[i].truth, x->row->unit);
        else
            lev_text_print(t, "  %s\n", x->coupon[i].code);
    if (key)
        lev_text_print(t, "why: %s\n", x->row->why);
}

void lev_exercise_score_text(lev_text *t, const lev_exercise_score *s)
{
    const lev_exercise_round *one = &s->round[0], *two = &s->round[1];
    const lev_exercise_round *last = two->guesses > 0 ? two : one;
    if (last->guesses == 0) {
        lev_text_print(t,
                       "NO GUESSES YET\n`levigate exercise guess %lld SHEET "
                       "CODE=VALUE ...` takes them in\n",
                       (long long)s->x.id);
        return;
    }
    lev_text_print(t, "GUESSES ARE OFF BY %.2g TIMES\n", last->factor);
    if (two->guesses > 0 && one->guesses > 0)
        lev_text_print(t, "before measuring by %.2g times: the error was %shalved\n",
                       one->factor, s->halved ? "" : "not ");
    else
        lev_text_add(t, "guess again after measuring (--round 2): halving it is the "
                        "mark of learning\n");
    for (int r = 0; r < LEV_EXERCISE_ROUNDS; r++)
        if (s->round[r].guesses > 0)
            lev_text_print(t,
                           "  round %d: %d sheets, 8 of 10 between %.2g and %.2g times "
                           "off; typical guess %.2g of the truth; %d unsure\n",
                           r + 1, s->round[r].sheets, s->round[r].low, s->round[r].high,
                           s->round[r].bias, s->round[r].unsure);
    for (int i = 0; i < s->x.coupons; i++) {
        lev_text_print(t, "  %-4s", s->x.coupon[i].code);
        for (int r = 0; r < LEV_EXERCISE_ROUNDS; r++)
            if (isfinite(s->coupon_factor[r][i]))
                lev_text_print(t, "  round %d off by %.2g", r + 1,
                               s->coupon_factor[r][i]);
        lev_text_add(t, "\n");
    }
}

/* ---- JSON ---- */

static json_t *kind_json(const lev_row_exercise *row, int *failed)
{
    json_t *o = json_object();
    int bad = lev_json_put_text(o, "kind", row->id);
    bad |= lev_json_put_text(o, "words", row->words);
    bad |= lev_json_put_text(o, "unit", row->unit);
    bad |= lev_json_put_text(o, "guess", row->guess);
    bad |= lev_json_put_text(o, "do", row->act);
    bad |= lev_json_put_text(o, "measure", row->measure);
    *failed |= bad;
    return o;
}

typedef struct kept {
    json_t *list;
    int bad;
} kept;

static int see_kept(void *to, const lev_store_exercise *e)
{
    kept *k = to;
    json_t *o = json_object();
    k->bad |= lev_json_put_int(o, "exercise", e->id);
    k->bad |= lev_json_put_text(o, "kind", e->kind);
    k->bad |= lev_json_put_int(o, "made_s", e->at_s);
    k->bad |= lev_json_put_int(o, "coupons", e->coupons);
    k->bad |= lev_json_put_int(o, "guesses", e->guesses);
    k->bad |= lev_json_add(k->list, o);
    return 0;
}

json_t *lev_exercise_list_json(const lev_shop *shop, int *failed)
{
    json_t *o = lev_json_reply(), *ids = json_array(), *kinds = json_array();
    kept k = {.list = json_array()};
    int bad = 0;
    for (int i = 0; i < LEV_TAB_EXERCISE_N; i++) {
        bad |= lev_json_add(ids, json_string(lev_tab_exercise[i].id));
        bad |= lev_json_add(kinds, kind_json(&lev_tab_exercise[i], failed));
    }
    bad |= lev_json_put(o, "kinds", ids);
    bad |= lev_json_put(o, "exercises", kinds);
    if (shop != NULL)
        bad |= lev_store_exercises(shop->store, see_kept, &k, NULL) < 0 ? 1 : 0;
    bad |= k.bad | lev_json_put(o, "kept", k.list);
    *failed |= bad;
    return o;
}

json_t *lev_exercise_json(const lev_exercise *x, bool key, int *failed)
{
    json_t *o = lev_json_reply(), *coupons = json_array();
    int bad = lev_json_put_int(o, "exercise", x->id);
    bad |= lev_json_put_text(o, "kind", x->row->id);
    bad |= lev_json_put_text(o, "words", x->row->words);
    bad |= lev_json_put_text(o, "unit", x->row->unit);
    bad |= lev_json_put_int(o, "seed", x->seed);
    bad |= lev_json_put_text(o, "guess", x->row->guess);
    bad |= lev_json_put_text(o, "do", x->row->act);
    bad |= lev_json_put_text(o, "measure", x->row->measure);
    if (key)
        bad |= lev_json_put_text(o, "why", x->row->why);
    for (int i = 0; i < x->coupons; i++) {
        json_t *c = json_object();
        bad |= lev_json_put_text(c, "code", x->coupon[i].code);
        if (key) {
            bad |= lev_json_put_number(c, "truth", x->coupon[i].truth);
            bad |= lev_json_put_text(c, "words", x->coupon[i].words);
        }
        bad |= lev_json_add(coupons, c);
    }
    *failed |= bad | lev_json_put(o, "coupons", coupons);
    return o;
}

json_t *lev_exercise_score_json(const lev_exercise_score *s, int *failed)
{
    json_t *o = lev_json_reply(), *rounds = json_array();
    int bad = lev_json_put_int(o, "exercise", s->x.id);
    bad |= lev_json_put_text(o, "kind", s->x.row->id);
    for (int r = 0; r < LEV_EXERCISE_ROUNDS; r++) {
        const lev_exercise_round *m = &s->round[r];
        if (m->guesses == 0)
            continue;
        json_t *one = json_object(), *coupons = json_object(), *ratio = json_object();
        bad |= lev_json_put_int(one, "round", r + 1);
        bad |= lev_json_put_int(one, "sheets", m->sheets);
        bad |= lev_json_put_int(one, "guesses", m->guesses);
        bad |= lev_json_put_int(one, "unsure", m->unsure);
        bad |= lev_json_put_number(one, "factor", m->factor);
        bad |= lev_json_put_number(one, "sheets_low", m->low);
        bad |= lev_json_put_number(one, "sheets_high", m->high);
        bad |= lev_json_put_number(one, "guess_over_truth", m->bias);
        for (int i = 0; i < s->x.coupons; i++)
            bad |= lev_json_put_number(coupons, s->x.coupon[i].code,
                                       s->coupon_factor[r][i]);
        for (int i = 0; i < s->x.coupons; i++)
            if (isfinite(s->coupon_ratio[r][i].p50))
                bad |= lev_json_put_spread(ratio, s->x.coupon[i].code,
                                           s->coupon_ratio[r][i]);
        bad |= lev_json_put(one, "coupons", coupons);
        bad |= lev_json_put(one, "coupon_guess_over_truth", ratio);
        bad |= lev_json_add(rounds, one);
    }
    bad |= lev_json_put(o, "rounds", rounds);
    if (s->round[0].guesses > 0 && s->round[1].guesses > 0)
        bad |= lev_json_put_flag(o, "halved", s->halved);
    *failed |= bad;
    return o;
}
