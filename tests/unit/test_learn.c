/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the log teaches: worked values, certified regressions, simulated shops. */
#include "unit.h"

#include <jansson.h>
#include <stdlib.h>
#include <string.h>

#include "levigate/learn.h"
#include "mem.h"
#include "rng.h"

static json_t *golden(const char *name)
{
    char path[1000];
    const char *folder = getenv("GOLDEN");
    json_error_t why;
    assert_non_null(folder);
    (void)snprintf(path, sizeof path, "%s/learn/%s", folder, name);
    json_t *j = json_load_file(path, 0, &why);
    if (j == NULL)
        print_error("%s: %s\n", path, why.text);
    assert_non_null(j);
    return j;
}

static double at(const json_t *j, const char *key)
{
    return json_number_value(json_object_get(j, key));
}

static double nth(const json_t *list, size_t i)
{
    return json_number_value(json_array_get(list, i));
}

/* ---- Student's t ---- */

static void student_matches_closed_forms_and_printed_table(void **state)
{
    (void)state;
    static const double ps[] = {0.001, 0.1, 0.3, 0.5, 0.8, 0.975};
    for (size_t i = 0; i < sizeof ps / sizeof *ps; i++) {
        const double p = ps[i];
        const lev_student one = {1.0, 0.0, 1.0}, two = {2.0, 3.0, 0.5};
        /* dof 1: Cauchy; dof 2: closed form (Abramowitz & Stegun 26.7.5 at n = 2) */
        assert_near_abs(lev_student_quantile(one, p),
                        tan(3.14159265358979324 * (p - 0.5)),
                        1e-9 * (1.0 + fabs(1.0 / p)));
        const double t2 = (2.0 * p - 1.0) * sqrt(2.0 / (4.0 * p * (1.0 - p)));
        assert_near_abs(lev_student_quantile(two, p), 3.0 + 0.5 * t2, 1e-9);
        assert_near_abs(lev_student_cdf(two, lev_student_quantile(two, p)), p, 1e-12);
    }
    static const struct {
        double dof, p, t;
    } printed[] = {/* NIST/SEMATECH e-Handbook 1.3.6.7.2, to the digits printed */
                   {5, 0.975, 2.571},
                   {10, 0.95, 1.812},
                   {10, 0.975, 2.228},
                   {30, 0.995, 2.750},
                   {100, 0.90, 1.290}};
    for (size_t i = 0; i < sizeof printed / sizeof *printed; i++)
        assert_near_abs(
            lev_student_quantile((lev_student){printed[i].dof, 0, 1}, printed[i].p),
            printed[i].t, 5.1e-4);
}

/* ---- regression ---- */

static void worked_posterior_is_met(void **state)
{
    (void)state;
    json_t *j = golden("nig_worked.json");
    const json_t *prior = json_object_get(j, "prior"),
                 *d = json_object_get(j, "grain_um"), *ra = json_object_get(j, "Ra_um"),
                 *post = json_object_get(j, "posterior");
    const json_t *rows = json_object_get(prior, "Lambda0");
    double m0[2], l0[4], m[2], ln[4];
    lev_nig s;
    lev_error err = {0};
    for (size_t i = 0; i < 2; i++) {
        m0[i] = nth(json_object_get(prior, "m0"), i);
        for (size_t k = 0; k < 2; k++)
            l0[2 * i + k] = nth(json_array_get(rows, i), k);
    }
    assert_ok(lev_nig_init(&s, 2, m0, l0, at(prior, "a0"), at(prior, "b0"), &err),
              &err);
    for (size_t i = 0; i < json_array_size(d); i++) {
        const double x[2] = {1.0, log(nth(d, i))};
        lev_nig_add(&s, x, log(nth(ra, i)), 1.0);
    }
    assert_ok(lev_nig_mean(&s, m, &err), &err);
    lev_nig_lambda(&s, ln);
    for (size_t i = 0; i < 2; i++) { /* worked values, 1e-10 */
        assert_near(m[i], nth(json_object_get(post, "m_n"), i), 1e-10);
        for (size_t k = 0; k < 2; k++)
            assert_near(ln[2 * i + k],
                        nth(json_array_get(json_object_get(post, "Lambda_n"), i), k),
                        1e-12);
    }
    assert_near(s.a, at(post, "a_n"), 1e-15);
    assert_near(s.b, at(post, "b_n"), 1e-10);
    assert_near(lev_nig_log_evidence(&s), at(post, "log_marginal_likelihood"), 1e-10);
    const json_t *list = json_object_get(post, "predictive");
    for (size_t i = 0; i < json_array_size(list); i++) {
        const json_t *want = json_array_get(list, i);
        const double x[2] = {nth(json_object_get(want, "x"), 0),
                             nth(json_object_get(want, "x"), 1)};
        lev_student p;
        assert_ok(lev_nig_predict(&s, x, 1.0, &p, &err), &err);
        assert_near(p.dof, at(want, "dof"), 1e-15);
        assert_near(p.loc, at(want, "loc"), 1e-10);
        assert_near(p.scale, at(want, "scale"), 1e-10);
        assert_near(lev_student_quantile(p, 0.05), at(want, "q05"), 1e-9);
        assert_near(lev_student_quantile(p, 0.95), at(want, "q95"), 1e-9);
    }
    lev_nig_release(&s);
    json_decref(j);
}

static double text_number(const json_t *j, const char *key)
{
    return strtod(json_string_value(json_object_get(j, key)), NULL);
}

/* Coefficients, their sds and the residual sum against certified text. */
static void compare_certified(const json_t *set, int k, double rtol)
{
    const json_t *rows = json_object_get(set, "X_with_leading_one"),
                 *xs = json_object_get(set, "x"), *y = json_object_get(set, "y"),
                 *certified = json_object_get(set, "certified");
    lev_nig s;
    lev_error err = {0};
    double m[16], x[16];
    assert_ok(lev_nig_init(&s, k, NULL, NULL, 0.0, 0.0, &err), &err);
    for (size_t i = 0; i < json_array_size(y); i++) {
        x[0] = 1.0;
        for (int c = 1; c < k; c++)
            x[c] = rows != NULL ? nth(json_array_get(rows, i), (size_t)c) : nth(xs, i);
        lev_nig_add(&s, x, nth(y, i), 1.0);
    }
    assert_ok(lev_nig_mean(&s, m, &err), &err);
    const double rss = 2.0 * s.b, dof = at(set, "dof");
    assert_near(rss, text_number(set, "residual_ss"), rtol);
    for (int c = 0; c < k; c++) {
        double leverage = 0.0;
        const json_t *want = json_array_get(certified, (size_t)c);
        memset(x, 0, sizeof x);
        x[c] = 1.0;
        assert_ok(lev_nig_leverage(&s, x, &leverage, &err), &err);
        assert_near(m[c], text_number(want, "value"), rtol);
        assert_near(sqrt(rss / dof * leverage), text_number(want, "sd"), rtol);
    }
    lev_nig_release(&s);
}

static void certified_regressions_of_nist_are_met(void **state)
{
    (void)state;
    json_t *j = golden("nist_linear.json");
    const json_t *list = json_object_get(j, "linear");
    /* NIST StRD: 8 digits on Norris, 7 on Longley in double precision */
    compare_certified(json_array_get(list, 0), 2, 1e-8);
    compare_certified(json_array_get(list, 1), 7, 1e-7);
    json_decref(j);
}

static void a_flat_regression_refuses_to_answer_too_early(void **state)
{
    (void)state;
    lev_nig s;
    lev_error err = {0};
    double m[2];
    assert_ok(lev_nig_init(&s, 2, NULL, NULL, 0.0, 0.0, &err), &err);
    lev_nig_add(&s, (double[]){1.0, 2.0}, 1.0, 1.0);
    assert_int_equal(lev_nig_mean(&s, m, &err), LEV_E_RANGE);
    lev_nig_release(&s);
    const double bad[4] = {1.0, 2.0, 2.0, 1.0}; /* eigenvalues 3 and -1 */
    assert_int_equal(lev_nig_init(&s, 2, NULL, bad, 1.0, 1.0, &err), LEV_E_RANGE);
}

/* ---- pooling ---- */

static const lev_pool_prior EXACT = {
    .shop = 0.3,
    .by = {0.2, 0.15, 0.25, 0.1, 0.27},
    .cell = 0.1,
    .noise = 0.25,
    .noise_dof = 10,
};

static lev_pool_prior weighted(void)
{
    lev_pool_prior p = EXACT;
    p.outlier_dof = 3;
    return p;
}

/* Root mean square of the noise of many shops: inverse gamma with a = 5, b = a noise2,
 * has the mean b/(a - 1). */
#define NOISE_RMS (EXACT.noise * sqrt(5.0 / 4.0))

/* A shop: its combinations and the true ln factor of each. */
enum { CELLS = 24, FACTS_MAX = 400 };
typedef struct shop {
    lev_pool_cell cell[CELLS];
    double truth[CELLS], sigma;
    lev_rng rng;
} shop;

/* Drawn from the prior: noise from its inverse gamma, every effect in proportion. */
static shop make_shop(uint64_t seed, const lev_pool_prior *p, double bias)
{
    shop s = {.rng = {seed}};
    double gamma = 0.0; /* of whole shape: a sum of exponentials */
    for (int i = 0; i < (int)p->noise_dof / 2; i++)
        gamma -= log(lev_rng_uniform(s.rng, (uint64_t)i, 50));
    const double scale = sqrt(0.5 * p->noise_dof / gamma);
    s.sigma = scale * p->noise;
    const double whole = bias + scale * p->shop * lev_rng_normal(s.rng, 0, 1);
    static const int levels[LEV_POOL_BY_N] = {2, 4, 2, 2, 3};
    for (int c = 0; c < CELLS; c++) {
        const int material = c % 4;
        const int level[LEV_POOL_BY_N] = {material / 2, material, c / 4 % 2,
                                          (c / 4 + c / 8) % 2, c / 8};
        memcpy(s.cell[c].level, level, sizeof level);
        s.truth[c] = whole + scale * p->cell * lev_rng_normal(s.rng, (uint64_t)c, 2);
        for (int i = 0; i < LEV_POOL_BY_N; i++) {
            assert_true(level[i] < levels[i]);
            s.truth[c] += scale * p->by[i] *
                          lev_rng_normal(s.rng, (uint64_t)level[i], (uint64_t)(10 + i));
        }
    }
    return s;
}

static lev_pool_fact draw(const shop *s, int i)
{
    const uint64_t n = (uint64_t)i;
    const int c = (int)(lev_rng_uniform(s->rng, n, 30) * CELLS);
    return (lev_pool_fact){.cell = c,
                           .y = s->truth[c] + s->sigma * lev_rng_normal(s->rng, n, 31)};
}

/* The same model written out in full: one coefficient a combination, nothing
 * integrated out, normal-inverse-gamma by its plain formulas. */
static void integrating_out_the_combinations_changes_nothing(void **state)
{
    (void)state;
    enum { N = 60, K = 1 + 2 + 4 + 2 + 2 + 3 + CELLS };
    static const int first[LEV_POOL_BY_N] = {1, 3, 7, 9, 11};
    static const int count[LEV_POOL_BY_N] = {2, 4, 2, 2, 3};
    const shop s = make_shop(7, &EXACT, 0.2);
    lev_pool_fact f[N];
    static double lambda[K * K];
    const double n2 = EXACT.noise * EXACT.noise;
    lev_error err = {0};
    lev_nig full;
    lev_pool *pool = NULL;
    lambda[0] = n2 / (EXACT.shop * EXACT.shop);
    for (int i = 0; i < LEV_POOL_BY_N; i++)
        for (int l = 0; l < count[i]; l++)
            lambda[(first[i] + l) * (K + 1)] = n2 / (EXACT.by[i] * EXACT.by[i]);
    for (int c = 0; c < CELLS; c++)
        lambda[(K - CELLS + c) * (K + 1)] = n2 / (EXACT.cell * EXACT.cell);
    assert_ok(lev_nig_init(&full, K, NULL, lambda, 5.0, 5.0 * n2, &err), &err);
    double x[K];
    for (int i = 0; i < N + CELLS; i++) {
        const int c = i < N ? (f[i] = draw(&s, i)).cell : i - N;
        memset(x, 0, sizeof x);
        x[0] = 1.0;
        for (int b = 0; b < LEV_POOL_BY_N; b++)
            x[first[b] + s.cell[c].level[b]] = 1.0;
        x[K - CELLS + c] = 1.0;
        if (i < N) {
            f[i].variance = i % 3 == 0 ? n2 : 0.0; /* half the weight */
            lev_nig_add(&full, x, f[i].y, i % 3 == 0 ? 0.5 : 1.0);
            continue;
        }
        if (pool == NULL)
            assert_ok(lev_pool_fit(&EXACT, s.cell, CELLS, f, N, &pool, &err), &err);
        lev_factor got;
        lev_student want;
        assert_ok(lev_pool_factor(pool, &s.cell[c], &got, &err), &err);
        assert_ok(lev_nig_predict(&full, x, 1.0, &want, &err), &err);
        assert_near(got.ln_next.dof, want.dof, 1e-12); /* algebra: equal to rounding */
        assert_near_abs(got.ln_next.loc, want.loc, 1e-10);
        assert_near(got.ln_next.scale, want.scale, 1e-10);
    }
    lev_pool_free(pool);
    lev_nig_release(&full);
}

typedef struct score {
    double covered, rms;
} score;

/* Shops by the thousand: do 80 % intervals for the next entry cover, and how far off is
 * the median? Each shop is asked for one entry it has not seen. */
static score simulate(const lev_pool_prior *prior, double bias, int entries, int shops,
                      double wild)
{
    score out = {0};
    lev_error err = {0};
    static lev_pool_fact f[FACTS_MAX];
    for (int k = 0; k < shops; k++) {
        const shop s = make_shop((uint64_t)(1000 + k), prior, bias);
        for (int i = 0; i < entries; i++) {
            f[i] = draw(&s, i);
            if (lev_rng_uniform(s.rng, (uint64_t)i, 40) < wild)
                f[i].y += lev_rng_uniform(s.rng, (uint64_t)i, 41) < 0.5 ? -2.3 : 2.3;
        }
        lev_pool *pool = NULL;
        lev_factor a;
        assert_ok(lev_pool_fit(prior, s.cell, CELLS, f, entries, &pool, &err), &err);
        const lev_pool_fact next = draw(&s, 100000);
        assert_ok(lev_pool_factor(pool, &s.cell[next.cell], &a, &err), &err);
        const double actual = exp(next.y);
        out.covered += actual >= a.next.p10 && actual <= a.next.p90 ? 1.0 : 0.0;
        out.rms += (next.y - a.ln_next.loc) * (next.y - a.ln_next.loc);
        lev_pool_free(pool);
    }
    return (score){out.covered / shops, sqrt(out.rms / shops)};
}

static void intervals_of_a_thousand_shops_cover_and_errors_fall(void **state)
{
    (void)state;
    static const int entries[] = {0, 3, 10, 40, 160};
    double last = 10.0;
    for (size_t i = 0; i < sizeof entries / sizeof *entries; i++) {
        const score exact = simulate(&EXACT, 0.0, entries[i], 1000, 0.0);
        print_message("# %d entries: %.1f %% covered, rms %.3f\n", entries[i],
                      100.0 * exact.covered, exact.rms);
        /* 80 % by definition of the quantiles; 75 to 85 allows 4 sd of 1,000 shops */
        assert_in_range((uintmax_t)(1000.0 * exact.covered + 0.5), 750, 850);
        assert_true(exact.rms < last);
        last = exact.rms;
    }
    assert_true(last < 1.10 * NOISE_RMS); /* approaches the noise put in */
}

static void weighting_outliers_keeps_the_intervals_honest(void **state)
{
    (void)state;
    const lev_pool_prior p = weighted();
    static const int entries[] = {3, 10, 40, 160};
    for (size_t i = 0; i < sizeof entries / sizeof *entries; i++) {
        const score clean = simulate(&p, 0.0, entries[i], 1000, 0.0);
        const score wild = simulate(&p, 0.0, entries[i], 1000, 0.1);
        const score naive = simulate(&EXACT, 0.0, entries[i], 1000, 0.1);
        print_message("# %d entries: clean %.1f %% rms %.3f; a tenth ten times off: "
                      "%.1f %% rms %.3f, unweighted %.1f %% rms %.3f\n",
                      entries[i], 100.0 * clean.covered, clean.rms,
                      100.0 * wild.covered, wild.rms, 100.0 * naive.covered, naive.rms);
        assert_in_range((uintmax_t)(1000.0 * clean.covered + 0.5), 750, 850);
        if (entries[i] >= 10)
            assert_true(wild.rms < naive.rms);
    }
}

static void a_wrong_prior_is_overcome(void **state)
{
    (void)state;
    const lev_pool_prior p = weighted();
    const double bias =
        1.386; /* the shop is four times off: 4.6 sd of the prior's shop */
    const score none = simulate(&p, bias, 0, 1000, 0.0);
    const score ten = simulate(&p, bias, 10, 1000, 0.0);
    const score many = simulate(&p, bias, 160, 1000, 0.0);
    print_message("# four times off: rms %.3f, %.3f, %.3f at 0, 10, 160 entries\n",
                  none.rms, ten.rms, many.rms);
    assert_true(none.rms > 1.3);
    assert_true(ten.rms < 0.6 * none.rms);
    assert_true(many.rms < 1.15 * NOISE_RMS);
}

static void one_wild_entry_cannot_wreck_a_factor(void **state)
{
    (void)state;
    const lev_pool_prior p = weighted();
    const lev_pool_cell cell = {{0, 0, 0, 0, 0}};
    lev_error err = {0};
    lev_pool_fact f[9];
    lev_factor before, after;
    for (int n = 3; n <= 8; n += 5) {
        lev_pool *pool = NULL;
        for (int i = 0; i < n; i++)
            f[i] = (lev_pool_fact){.y = i % 2 == 0 ? 0.15 : -0.15};
        assert_ok(lev_pool_fit(&p, &cell, 1, f, n, &pool, &err), &err);
        assert_ok(lev_pool_factor(pool, &cell, &before, &err), &err);
        lev_pool_free(pool);
        f[n] = (lev_pool_fact){.y = log(10.0)}; /* ten times off */
        assert_ok(lev_pool_fit(&p, &cell, 1, f, n + 1, &pool, &err), &err);
        assert_ok(lev_pool_factor(pool, &cell, &after, &err), &err);
        print_message("# %d good entries and one ten times off: %.3f becomes %.3f\n", n,
                      before.factor, after.factor);
        assert_true(after.factor < 1.15 * before.factor);
        assert_true(lev_pool_weight(pool, n) < 0.15);
        lev_pool_free(pool);
    }
    lev_pool *pool = NULL;
    f[0] = (lev_pool_fact){.y = log(10.0)};
    assert_ok(lev_pool_fit(&p, &cell, 1, f, 1, &pool, &err), &err);
    assert_ok(lev_pool_factor(pool, &cell, &after, &err), &err);
    print_message("# the first entry ten times off: factor %.2f\n", after.factor);
    assert_true(after.factor > 1.0 && after.factor < 3.0);
    lev_pool_free(pool);
}

static void people_are_told_apart_and_share_what_is_common(void **state)
{
    (void)state;
    enum { N = 60 };
    const lev_pool_cell cells[3] = {
        {{0, 0, 0, 0, 0}}, {{0, 0, 0, 0, 1}}, {{0, 1, 0, 0, 1}}};
    lev_pool_fact f[N];
    for (int i = 0; i < N;
         i++) /* both see the material; the second takes twice as long */
        f[i] = (lev_pool_fact){.cell = i % 2, .y = i % 2 == 0 ? 0.4 : 0.4 + log(2.0)};
    lev_error err = {0};
    lev_pool *pool = NULL;
    lev_factor first, second, other, stranger;
    assert_ok(lev_pool_fit(&EXACT, cells, 3, f, N, &pool, &err), &err);
    assert_ok(lev_pool_factor(pool, &cells[0], &first, &err), &err);
    assert_ok(lev_pool_factor(pool, &cells[1], &second, &err), &err);
    assert_ok(lev_pool_factor(pool, &cells[2], &other, &err), &err);
    const lev_pool_cell unknown = {{-1, -1, -1, -1, -1}};
    assert_ok(lev_pool_factor(pool, &unknown, &stranger, &err), &err);
    assert_near(second.factor / first.factor, 2.0, 0.05); /* what was put in */
    assert_true(other.factor > first.factor); /* the slow one, new material */
    assert_true(other.lnsd > second.lnsd && stranger.lnsd > other.lnsd);
    assert_true(stranger.factor > 1.0 && stranger.factor < second.factor);
    assert_int_equal(first.same, N / 2);
    assert_int_equal(other.same, 0);
    assert_int_equal(first.all, N);
    assert_true(first.share > other.share && other.share > stranger.share);
    lev_pool_free(pool);
}

static void nothing_logged_means_the_prior_and_bad_entries_are_refused(void **state)
{
    (void)state;
    lev_error err = {0};
    lev_pool *pool = NULL;
    lev_factor a;
    const lev_pool_cell cell = {{0, 0, 0, 0, 0}};
    assert_ok(lev_pool_fit(&EXACT, NULL, 0, NULL, 0, &pool, &err), &err);
    assert_ok(lev_pool_factor(pool, &cell, &a, &err), &err);
    assert_near(a.factor, 1.0, 1e-15);
    assert_near_abs(a.share, 0.0, 1e-12);
    lev_pool_free(pool);
    pool = NULL;
    lev_pool_fact f = {.y = NAN};
    assert_int_equal(lev_pool_fit(&EXACT, &cell, 1, &f, 1, &pool, &err), LEV_E_RANGE);
    f = (lev_pool_fact){.cell = 1};
    assert_int_equal(lev_pool_fit(&EXACT, &cell, 1, &f, 1, &pool, &err), LEV_E_RANGE);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(student_matches_closed_forms_and_printed_table),
        cmocka_unit_test(worked_posterior_is_met),
        cmocka_unit_test(certified_regressions_of_nist_are_met),
        cmocka_unit_test(a_flat_regression_refuses_to_answer_too_early),
        cmocka_unit_test(integrating_out_the_combinations_changes_nothing),
        cmocka_unit_test(intervals_of_a_thousand_shops_cover_and_errors_fall),
        cmocka_unit_test(weighting_outliers_keeps_the_intervals_honest),
        cmocka_unit_test(a_wrong_prior_is_overcome),
        cmocka_unit_test(one_wild_entry_cannot_wreck_a_factor),
        cmocka_unit_test(people_are_told_apart_and_share_what_is_common),
        cmocka_unit_test(nothing_logged_means_the_prior_and_bad_entries_are_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
