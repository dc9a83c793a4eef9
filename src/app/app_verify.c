/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Integrity of data, model and store. See app_verify.h. */
#include "app_verify.h"

#include <math.h>
#include <stdio.h>
#include <string.h>
#include <unistd.h>

#include "app_shop_job.h"
#include "json.h"
#include "lev_tables.h"
#include "levigate/cut.h"
#include "levigate/grit.h"
#include "levigate/learn.h"
#include "levigate/material.h"
#include "levigate/optics.h"
#include "num.h"

/* One complaint of a part: the first is kept. */
typedef struct part {
    ptrdiff_t checks;
    char wrong[LEV_ERROR_MAX];
} part;

static void complain(part *p, const char *what, const char *why)
{
    if (p->wrong[0] == '\0')
        (void)snprintf(p->wrong, sizeof p->wrong, "%.100s: %.250s", what, why);
}

/* ---- data: every row has a source and can be found again by its name ---- */

static bool has_source(int source, lev_mark mark)
{
    return source >= 0 && source < LEV_TAB_SOURCE_N && mark != LEV_MARK_UNSET &&
           mark < LEV_MARK_END && lev_tab_source[source].citation[0] != '\0';
}

static void check_grits(part *p)
{
    for (int i = 0; i < lev_grit_count(); i++) {
        const lev_grit g = lev_grit_at(i);
        lev_grit again;
        p->checks++;
        if (g.mark == LEV_MARK_UNSET || g.source == NULL || g.source[0] == '\0')
            complain(p, g.label, "a grit without source");
        else if (lev_grit_find(g.system, g.label, g.method, &again, NULL) < 0 ||
                 strcmp(again.label, g.label) != 0)
            complain(p, g.label, "a grit that is not found by its own name");
        else if (g.d50_um <= 0.0)
            complain(p, g.label, "a grit without size");
    }
}

static void check_materials(part *p)
{
    for (int i = 0; i < lev_material_count(); i++) {
        const lev_material m = lev_material_at(i);
        lev_material again;
        p->checks++;
        if (m.mark == LEV_MARK_UNSET)
            complain(p, m.id, "a material without source");
        else if (lev_material_find(m.id, &again, NULL) < 0 ||
                 strcmp(again.id, m.id) != 0)
            complain(p, m.id, "a material that is not found by its own name");
    }
}

static void check_media(part *p)
{
    for (int i = 0; i < LEV_TAB_MEDIUM_KIND_N; i++) {
        const lev_row_medium_kind *k = &lev_tab_medium_kind[i];
        for (const char *s = k->labels; *s != '\0';) {
            char label[40];
            lev_grit g;
            const size_t n = strcspn(s, ";");
            (void)snprintf(label, sizeof label, "%.*s", (int)n, s);
            p->checks++;
            if (lev_grit_find(k->system, label, "", &g, NULL) < 0)
                complain(p, label, "a medium whose grit no table has");
            s += n;
            s += *s == ';';
        }
    }
}

static void check_tables(part *p)
{
    for (int i = 0; i < LEV_TAB_SAFETY_N; i++, p->checks++)
        if (!has_source(lev_tab_safety[i].source, lev_tab_safety[i].mark))
            complain(p, lev_tab_safety[i].id, "a caution without source");
    for (int i = 0; i < LEV_TAB_COEF_N; i++, p->checks++)
        if (!has_source(lev_tab_coef[i].source, lev_tab_coef[i].mark) ||
            !isfinite(lev_tab_coef[i].median))
            complain(p, lev_tab_coef[i].quantity, "a coefficient without source");
    for (int i = 0; i < LEV_TAB_DRIVE_N; i++, p->checks++)
        if (!has_source(lev_tab_drive[i].source, lev_tab_drive[i].mark))
            complain(p, lev_tab_drive[i].id, "a drive without source");
}

/* ---- model: published values worked out anew ---- */

static double p240(void)
{
    lev_grit g;
    return lev_grit_find("P", "P240", "", &g, NULL) >= 0 ? g.d50_um : (double)NAN;
}

static double overlap(void)
{
    const lev_grit_size a = {.median_um = 10.0, .lnsd = 0.3, .max_um = INFINITY};
    const lev_grit_size b = {
        .median_um = 10.0 * exp(0.3), .lnsd = 0.3, .max_um = INFINITY};
    return lev_grit_overlap(&a, &b);
}

static double normal(void)
{
    return lev_norm_quantile(0.975);
}

static double student(void)
{
    return lev_student_quantile((lev_student){10.0, 0.0, 1.0}, 0.975);
}

static double elliptic(void)
{
    return lev_cut_ellipe(0.5);
}

static double renewal(void)
{
    return lev_cut_renewal(1.0 + log(0.5));
}

static double gauss(void)
{
    double x[5], w[5];
    lev_gauss_legendre(5, x, w);
    return w[2];
}

static double mirror(void)
{
    return 100.0 / lev_optics_glass(acos(0.5));
}

static double brinell(void)
{
    lev_hardness h;
    return lev_material_hardness("130 HB", &h, NULL) >= 0 ? h.gpa : (double)NAN;
}

/* y = ln 2 once, prior N(0, 1) on the shop, levels that hardly move, noise 1. */
static double pooled(void)
{
    const double fixed = 1e-7;
    const lev_pool_prior prior = {.shop = 1.0,
                                  .by = {fixed, fixed, fixed, fixed, fixed},
                                  .noise = 1.0,
                                  .noise_dof = 10.0};
    const lev_pool_cell cell = {{0, 0, 0, 0, 0}};
    const lev_pool_fact fact = {0, log(2.0), 0.0};
    lev_pool *pool = NULL;
    lev_factor f = {.factor = NAN};
    if (lev_pool_fit(&prior, &cell, 1, &fact, 1, &pool, NULL) >= 0)
        (void)lev_pool_factor(pool, &cell, &f, NULL);
    lev_pool_free(pool);
    return f.factor;
}

static double work_out(const char *id)
{
    static const struct {
        const char *id;
        double (*value)(void);
    } known[] = {{"grit-p240", p240},         {"grit-overlap", overlap},
                 {"normal-quantile", normal}, {"student-10", student},
                 {"elliptic-half", elliptic}, {"renewal-half", renewal},
                 {"gauss-5", gauss},          {"mirror-60", mirror},
                 {"brinell-130", brinell},    {"pooled-one", pooled}};
    for (size_t i = 0; i < sizeof known / sizeof *known; i++)
        if (strcmp(known[i].id, id) == 0)
            return known[i].value();
    return (double)NAN;
}

static void check_model(part *p)
{
    /* FIPS 180-4, the first worked example of SHA-256. */
    static const char abc[] =
        "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad";
    char hash[LEV_SHA256_TEXT];
    for (int i = 0; i < LEV_TAB_REFERENCE_N; i++) {
        const lev_row_reference *row = &lev_tab_reference[i];
        const double is = work_out(row->id);
        char why[100];
        p->checks++;
        (void)snprintf(why, sizeof why, "comes to %.12g, published %.12g", is,
                       row->expected);
        if (!lev_near(is, row->expected, row->rtol, 0.0))
            complain(p, row->words, why);
    }
    lev_sha256("abc", 3, hash);
    p->checks++;
    if (strcmp(hash, abc) != 0)
        complain(p, "SHA-256 of abc", hash);
}

/* ---- store ---- */

static void check_store(const char *path, lev_verify_answer *a, part *store,
                        part *files)
{
    lev_shop shop = {0};
    lev_error err = {0};
    a->absent = access(path, F_OK) != 0;
    if (a->absent)
        return;
    store->checks++;
    if (lev_shop_open(path, false, 0, &shop, &err) < 0 ||
        lev_store_check(shop.store, &err) < 0) {
        complain(store, err.where[0] != '\0' ? err.where : path, err.text);
    } else if (lev_shop_check_files(&shop, &files->checks, &err) < 0) {
        complain(files, err.where[0] != '\0' ? err.where : path, err.text);
    }
    lev_shop_close(&shop);
}

lev_status lev_app_verify(const char *path, lev_verify_answer *out, lev_error *err)
{
    part parts[LEV_VERIFY_PARTS] = {{0}};
    lev_verify_answer a = {.absent = false};
    (void)err;
    check_grits(&parts[LEV_VERIFY_DATA]);
    check_materials(&parts[LEV_VERIFY_DATA]);
    check_media(&parts[LEV_VERIFY_DATA]);
    check_tables(&parts[LEV_VERIFY_DATA]);
    check_model(&parts[LEV_VERIFY_MODEL]);
    check_store(path, &a, &parts[LEV_VERIFY_STORE], &parts[LEV_VERIFY_FILES]);
    for (int i = 0; i < LEV_VERIFY_PARTS; i++) {
        a.checks[i] = parts[i].checks;
        a.good[i] = parts[i].wrong[0] == '\0';
        (void)snprintf(a.wrong[i], sizeof a.wrong[i], "%s", parts[i].wrong);
    }
    *out = a;
    return LEV_OK;
}

bool lev_verify_is_good(const lev_verify_answer *a)
{
    bool good = true;
    for (int i = 0; i < LEV_VERIFY_PARTS; i++)
        good = good && a->good[i];
    return good;
}

/* ---- out ---- */

static const char *const NAMES[LEV_VERIFY_PARTS] = {"data", "model", "store", "files"};

static void first_line(lev_text *t, const lev_verify_answer *a)
{
    ptrdiff_t all = 0, wrong = 0;
    for (int i = 0; i < LEV_VERIFY_PARTS; i++) {
        all += a->checks[i];
        wrong += !a->good[i];
    }
    if (wrong == 0)
        lev_text_print(t, "ALL WELL: %td CHECKS", all);
    else
        lev_text_print(t, "%td PART%s NOT WELL", wrong, wrong > 1 ? "S" : "");
}

static void second_line(lev_text *t, const lev_verify_answer *a)
{
    if (!a->good[LEV_VERIFY_STORE])
        lev_text_add(t, "next: keep that file, put a copy of the store in its place");
    else if (!a->good[LEV_VERIFY_FILES])
        lev_text_add(t, "next: look for that file in a copy of the store's folder");
    else if (!a->good[LEV_VERIFY_DATA] || !a->good[LEV_VERIFY_MODEL])
        lev_text_add(t,
                     "next: build the program anew; trust no figure of it until then");
    else if (a->absent)
        lev_text_add(t, "check: there is no store yet, only data and model were looked "
                        "at");
    else
        lev_text_add(t, "check: a copy on another disk is what saves a shop");
}

json_t *lev_app_verify_json(const lev_verify_answer *a, int *failed)
{
    json_t *r = lev_json_reply();
    lev_text first = {0}, second = {0};
    int bad = lev_json_put_flag(r, "good", lev_verify_is_good(a));
    first_line(&first, a);
    second_line(&second, a);
    bad |= lev_json_put_lines(r, &first, &second);
    for (int i = 0; i < LEV_VERIFY_PARTS; i++) {
        json_t *o = json_object();
        bad |= lev_json_put_flag(o, "good", a->good[i]);
        bad |= lev_json_put_int(o, "checks", a->checks[i]);
        bad |= lev_json_put_text(o, "wrong", a->wrong[i]);
        bad |= lev_json_put(r, NAMES[i], o);
    }
    *failed |= bad;
    return r;
}

void lev_app_verify_text(lev_text *t, const lev_verify_answer *a)
{
    first_line(t, a);
    lev_text_add(t, "\n");
    second_line(t, a);
    lev_text_add(t, "\n");
    for (int i = 0; i < LEV_VERIFY_PARTS; i++)
        lev_text_print(t, "  %-6s %5td checks  %s\n", NAMES[i], a->checks[i],
                       a->good[i] ? "good" : a->wrong[i]);
}
