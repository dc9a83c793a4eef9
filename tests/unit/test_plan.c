/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The exact search over a table. The truth is the exhaustive check of the same table;
 * tests/oracle/plan_glpk.c compares with an independent solver. */
#include "unit.h"

#include <math.h>

#include "levigate/note.h"
#include "mem.h"
#include "plan_random.h"
#include "plan_search.h"

enum { SMALL = 600 };

static void small_table(plan_random *r, uint64_t seed)
{
    plan_random_small(r, seed, 3 + (int)(seed % 4), 3 + (int)(seed / 4 % 3),
                      (int)(seed / 12 % 3), (int)(seed % 2) * 6 + 6);
}

static void assert_same_figures(const lev_plan_ladder *a, const lev_plan_ladder *b)
{
    assert_int_equal(a->n, b->n);
    assert_near(a->time_s, b->time_s, 1e-12);
    assert_near(a->money, b->money, 1e-12);
    assert_near(a->remove_um, b->remove_um, 1e-12);
}

static void the_optimum_of_every_goal_is_that_of_trying_everything(void **state)
{
    (void)state;
    int feasible = 0;
    for (uint64_t seed = 0; seed < SMALL; seed++) {
        plan_random r;
        lev_error err = {0};
        lev_plan_ladder all[LEV_PLAN_GOALS], brute;
        small_table(&r, seed);
        assert_ok(lev_plan_solve_all(&r.t, NULL, all, &err), &err);
        for (int goal = 0; goal < LEV_PLAN_GOALS; goal++) {
            assert_ok(lev_plan_check_brute(&r.t, (lev_plan_goal)goal, &brute, &err),
                      &err);
            assert_same_figures(all + goal, &brute);
            assert_int_equal(all[goal].notes, 0);
            if (brute.n > 0)
                assert_ok(lev_plan_table_check(&r.t, all + goal, &err), &err);
        }
        feasible += all[0].n > 0;
        plan_random_release(&r);
    }
    assert_true(feasible > SMALL / 3);
    assert_true(feasible < SMALL);
}

static void the_front_is_that_of_trying_everything(void **state)
{
    (void)state;
    ptrdiff_t points = 0;
    for (uint64_t seed = 0; seed < SMALL; seed++) {
        plan_random r;
        lev_error err = {0};
        lev_plan_front a = {0}, b = {0};
        small_table(&r, seed + 10000);
        assert_ok(lev_plan_pareto(&r.t, NULL, &a, &err), &err);
        assert_ok(lev_plan_check_brute_pareto(&r.t, &b, &err), &err);
        assert_int_equal(a.n, b.n);
        for (ptrdiff_t i = 0; i < a.n; i++) {
            assert_same_figures(a.ladder + i, b.ladder + i);
            assert_ok(lev_plan_table_check(&r.t, a.ladder + i, &err), &err);
        }
        points += a.n;
        lev_plan_front_release(&a);
        lev_plan_front_release(&b);
        plan_random_release(&r);
    }
    assert_true(points > SMALL);
}

static bool same_figures(const lev_plan_ladder *a, const lev_plan_ladder *b)
{
    return a->n == b->n && fabs(a->time_s - b->time_s) < 1e-9 &&
           fabs(a->money - b->money) < 1e-9 && fabs(a->remove_um - b->remove_um) < 1e-9;
}

static void answer_all(plan_solver *v)
{
    lev_error err = {0};
    for (int goal = 0; goal < LEV_PLAN_GOALS; goal++) {
        lev_plan_ladder x;
        assert_ok(plan_solver_solve(v, goal, PLAN_INF, PLAN_INF, &x, &err), &err);
    }
}

static void a_sample_of_the_front_is_on_the_front(void **state)
{
    (void)state;
    ptrdiff_t points = 0;
    for (uint64_t seed = 0; seed < 200; seed++) {
        plan_random r;
        lev_error err = {0};
        plan_solver v = {0};
        lev_plan_front a = {0}, b = {0};
        small_table(&r, seed + 60000);
        assert_ok(plan_solver_init(&v, &r.t, NULL, &err), &err);
        answer_all(&v);
        assert_ok(plan_solver_sample(&v, &a, &err), &err);
        assert_ok(lev_plan_check_brute_pareto(&r.t, &b, &err), &err);
        assert_true(a.n <= b.n && (a.n > 0) == (b.n > 0));
        for (ptrdiff_t i = 0; i < a.n; i++) {
            ptrdiff_t k = 0;
            while (k < b.n && !same_figures(a.ladder + i, b.ladder + k))
                k++;
            assert_true(k < b.n);
        }
        points += a.n;
        lev_plan_front_release(&a);
        lev_plan_front_release(&b);
        plan_solver_release(&v);
        plan_random_release(&r);
    }
    assert_true(points > 200);
}

/* The least time on the front among the vectors that keep the caps. */
static double least_time(const lev_plan_front *f, double remove_um, int steps)
{
    for (ptrdiff_t i = 0; i < f->n; i++) /* rising by time */
        if (f->ladder[i].remove_um <= remove_um && f->ladder[i].n <= steps)
            return f->ladder[i].time_s;
    return INFINITY;
}

static void caps_on_levels_and_steps_are_kept_at_the_least_time(void **state)
{
    (void)state;
    int feasible = 0;
    for (uint64_t seed = 0; seed < 200; seed++) {
        plan_random r;
        lev_error err = {0};
        plan_solver v = {0};
        lev_plan_front f = {0};
        lev_plan_ladder x;
        const int levels = 2 + (int)(seed % 9), steps = 1 + (int)(seed % 3);
        small_table(&r, seed + 80000);
        assert_ok(lev_plan_check_brute_pareto(&r.t, &f, &err), &err);
        assert_ok(plan_solver_init(&v, &r.t, NULL, &err), &err);
        assert_ok(plan_solver_solve(&v, LEV_PLAN_TIME, levels, steps, &x, &err), &err);
        const double least = least_time(&f, levels * r.t.unit_um, steps);
        if (x.n == 0)
            assert_true(isinf(least));
        else
            assert_near(x.time_s, least, 1e-12);
        feasible += x.n > 0;
        lev_plan_front_release(&f);
        plan_solver_release(&v);
        plan_random_release(&r);
    }
    assert_true(feasible > 40 && feasible < 200);
}

/* A front takes far more labels than the goals before it: it holds the least time under
 * every cap, each found by a search of its own. */
static void a_long_front_is_searched_to_its_end(void **state)
{
    (void)state;
    plan_random r;
    lev_error err = {0};
    plan_solver v = {0};
    lev_plan_front f = {0};
    plan_random_catalogue(&r, 1, 4, 2, 20.0);
    assert_ok(plan_solver_init(&v, &r.t, NULL, &err), &err);
    answer_all(&v);
    assert_ok(plan_solver_front(&v, &f, &err), &err);
    assert_int_equal(f.notes, 0);
    assert_int_equal(v.s.heap_n, 0); /* nothing is left to look at */
    const double least_um = f.ladder[f.n - 1].remove_um;
    for (int k = 0; k < 12; k++) {
        lev_plan_ladder x;
        const int steps = 1 + k % 4;
        const int levels = (int)lround(least_um / r.t.unit_um) + 4 * k;
        assert_ok(plan_solver_solve(&v, LEV_PLAN_TIME, levels, steps, &x, &err), &err);
        const double least = least_time(&f, levels * r.t.unit_um, steps);
        assert_true(x.n == 0 ? isinf(least) : lev_near(least, x.time_s, 0.0, 1e-9));
    }
    lev_plan_front_release(&f);
    plan_solver_release(&v);
    plan_random_release(&r);
}

static void assert_without(plan_solver *v, const lev_plan_table *t, int size_class,
                           int goal)
{
    lev_error err = {0};
    unsigned char barred[8] = {0};
    lev_plan_ladder a, b;
    assert_ok(plan_solver_bar(v, size_class, &err), &err);
    assert_ok(plan_solver_solve(v, goal, PLAN_INF, PLAN_INF, &a, &err), &err);
    for (int j = 0; j < 6; j++)
        barred[j] = v->p.size_class[j] == size_class;
    lev_plan_table fewer = *t;
    fewer.barred = barred;
    assert_ok(lev_plan_check_brute(&fewer, (lev_plan_goal)goal, &b, &err), &err);
    assert_same_figures(&a, &b);
}

/* Up the sizes and down again: bounds are kept from one question to the next. */
static void leaving_out_a_size_is_the_table_without_it(void **state)
{
    (void)state;
    for (uint64_t seed = 0; seed < 200; seed++) {
        plan_random r;
        lev_error err = {0};
        plan_solver v = {0};
        plan_random_small(&r, seed + 90000, 6, 5, (int)(seed % 2), 12);
        assert_ok(plan_solver_init(&v, &r.t, NULL, &err), &err);
        answer_all(&v); /* what is known must not leak into the next question */
        for (int step = 0; step < 2 * v.p.classes; step++) {
            const int c = step < v.p.classes ? step : 2 * v.p.classes - 1 - step;
            assert_without(&v, &r.t, c, (int)(seed % LEV_PLAN_GOALS));
        }
        plan_solver_release(&v);
        plan_random_release(&r);
    }
}

static double goal_figure(const lev_plan_ladder *x, int goal)
{
    const double figure[] = {x->time_s, x->money, x->remove_um, x->n};
    return x->n > 0 ? figure[goal] : (double)INFINITY;
}

static void assert_no_worse(const lev_plan_table *better, const lev_plan_table *worse)
{
    lev_error err = {0};
    lev_plan_ladder a[LEV_PLAN_GOALS], b[LEV_PLAN_GOALS];
    assert_ok(lev_plan_solve_all(better, NULL, a, &err), &err);
    assert_ok(lev_plan_solve_all(worse, NULL, b, &err), &err);
    for (int goal = 0; goal < LEV_PLAN_GOALS; goal++)
        assert_true(goal_figure(a + goal, goal) <= goal_figure(b + goal, goal));
}

static void another_option_never_makes_a_plan_worse(void **state)
{
    (void)state;
    for (uint64_t seed = 0; seed < 200; seed++) {
        plan_random r;
        unsigned char barred[8] = {0};
        plan_random_small(&r, seed + 20000, 6, 5, 1, 12);
        lev_plan_table fewer = r.t;
        barred[seed % 6] = 1;
        fewer.barred = barred;
        assert_no_worse(&r.t, &fewer);
        plan_random_release(&r);
    }
}

static void a_tighter_end_never_makes_a_plan_cheaper(void **state)
{
    (void)state;
    for (uint64_t seed = 0; seed < 200; seed++) {
        plan_random r;
        lev_plan_last tight[8];
        double needs[64];
        plan_random_small(&r, seed + 30000, 6, 5, 1, 12);
        /* The grid of amplitudes spans what is left to what is found: keep it. */
        r.t.budget_um = INFINITY;
        for (int l = 0; l < 6; l++) {
            tight[l] = r.last[l];
            tight[l].start_long += 0.5;
        }
        for (int i = 0; i < 36; i++)
            needs[i] = r.need_short[i] + 0.25;
        lev_plan_table t = r.t;
        t.last = tight;
        t.need_short = needs;
        assert_no_worse(&r.t, &t);
        plan_random_release(&r);
    }
}

static void a_larger_budget_never_makes_a_plan_worse(void **state)
{
    (void)state;
    for (uint64_t seed = 0; seed < 200; seed++) {
        plan_random r;
        plan_random_small(&r, seed + 40000, 6, 5, 1, 12);
        lev_plan_table small = r.t, large = r.t;
        small.budget_um = 4.0 + (double)(seed % 5);
        large.budget_um = small.budget_um + 1.5;
        assert_no_worse(&large, &small);
        plan_random_release(&r);
    }
}

static void the_check_refuses_a_ladder_that_breaks_a_rule(void **state)
{
    (void)state;
    int tried = 0;
    for (uint64_t seed = 0; seed < 100; seed++) {
        plan_random r;
        lev_error err = {0};
        lev_plan_ladder x;
        plan_random_small(&r, seed + 50000, 5, 5, 1, 12);
        assert_ok(lev_plan_solve(&r.t, LEV_PLAN_REMOVAL, NULL, &x, &err), &err);
        if (x.n > 0) {
            tried++;
            lev_plan_ladder bad = x;
            bad.time_s += 1.0;
            assert_int_equal(lev_plan_table_check(&r.t, &bad, &err), LEV_E_RANGE);
            bad = x;
            bad.move[0].level = 0;
            assert_int_equal(lev_plan_table_check(&r.t, &bad, &err), LEV_E_RANGE);
            r.t.budget_um = 0.5;
            assert_int_equal(lev_plan_table_check(&r.t, &x, &err), LEV_E_RANGE);
            r.t.budget_um = INFINITY;
            for (int l = 0; l < 5; l++)
                r.last[l].start_short = 1e3;
            assert_int_equal(lev_plan_table_check(&r.t, &x, &err), LEV_E_RANGE);
        }
        plan_random_release(&r);
    }
    assert_true(tried > 30);
}

static void tables_that_break_their_rules_are_refused(void **state)
{
    (void)state;
    plan_random r;
    lev_error err = {0};
    lev_plan_ladder x;
    plan_random_small(&r, 1, 4, 4, 1, 12);
    const double whole = r.time_s[5];
    r.time_s[5] = -1.0;
    assert_int_equal(lev_plan_solve(&r.t, LEV_PLAN_TIME, NULL, &x, &err), LEV_E_RANGE);
    r.time_s[5] = NAN;
    assert_int_equal(lev_plan_solve(&r.t, LEV_PLAN_TIME, NULL, &x, &err), LEV_E_RANGE);
    r.time_s[5] = whole;
    r.option[1].order = 1e3;
    assert_int_equal(lev_plan_solve(&r.t, LEV_PLAN_TIME, NULL, &x, &err), LEV_E_RANGE);
    r.option[1].order = r.option[0].order;
    r.t.unit_um = 0.0;
    assert_int_equal(lev_plan_solve(&r.t, LEV_PLAN_TIME, NULL, &x, &err), LEV_E_RANGE);
    plan_random_release(&r);
}

static int stop_at_once(void *payload, ptrdiff_t labels)
{
    (void)labels;
    ++*(int *)payload;
    return 1;
}

static void a_search_can_be_cancelled(void **state)
{
    (void)state;
    plan_random r;
    int calls = 0;
    lev_error err = {0};
    lev_plan_front front = {0};
    lev_plan_ladder x = {.n = -1};
    const lev_plan_limits limits = {.progress = stop_at_once, .payload = &calls};
    plan_random_catalogue(&r, 1, 12, 2, 20.0);
    assert_int_equal(lev_plan_solve(&r.t, LEV_PLAN_TIME, &limits, &x, &err),
                     LEV_E_CANCEL);
    assert_int_equal(lev_plan_pareto(&r.t, &limits, &front, &err), LEV_E_CANCEL);
    assert_int_equal(calls, 2);
    assert_int_equal(x.n, -1); /* untouched */
    assert_null(front.ladder);
    plan_random_release(&r);
}

static void a_search_cut_short_says_so(void **state)
{
    (void)state;
    plan_random r;
    lev_error err = {0};
    lev_plan_front front = {0};
    const lev_plan_limits limits = {.labels = 50};
    plan_random_catalogue(&r, 2, 12, 2, 20.0);
    assert_ok(lev_plan_pareto(&r.t, &limits, &front, &err), &err);
    assert_int_equal(front.notes, LEV_NOTE_NOT_EXACT);
    for (ptrdiff_t i = 0; i < front.n; i++)
        assert_ok(lev_plan_table_check(&r.t, front.ladder + i, &err), &err);
    lev_plan_front_release(&front);
    plan_random_release(&r);
}

static void a_catalogue_plan_keeps_every_rule(void **state)
{
    (void)state;
    for (uint64_t seed = 0; seed < 5; seed++) {
        plan_random r;
        lev_error err = {0};
        lev_plan_ladder all[LEV_PLAN_GOALS];
        plan_random_catalogue(&r, seed, 20, 3, 15.0 + 5.0 * (double)seed);
        assert_ok(lev_plan_solve_all(&r.t, NULL, all, &err), &err);
        for (int goal = 0; goal < LEV_PLAN_GOALS; goal++) {
            assert_ok(lev_plan_table_check(&r.t, all + goal, &err), &err);
            for (int other = 0; other < LEV_PLAN_GOALS; other++)
                assert_true(goal_figure(all + goal, goal) <=
                            goal_figure(all + other, goal));
        }
        plan_random_release(&r);
    }
}

#ifdef LEV_MEM_TEST
static void any_allocation_may_fail(void **state)
{
    (void)state;
    plan_random r;
    plan_random_small(&r, 3, 5, 4, 1, 12);
    const long alive = lev_mem_test_alive();
    for (long nth = 1; nth < 200; nth++) {
        lev_error err = {0};
        lev_plan_front front = {0};
        lev_mem_test_fail(nth);
        const lev_status st = lev_plan_pareto(&r.t, NULL, &front, &err);
        const bool failed = lev_mem_test_count() >= nth;
        lev_mem_test_fail(0);
        assert_int_equal(st, failed ? LEV_E_MEMORY : LEV_OK);
        lev_plan_front_release(&front);
        assert_int_equal(lev_mem_test_alive(), alive);
        if (!failed)
            break;
        assert_true(nth < 199);
    }
    plan_random_release(&r);
}
#endif

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_optimum_of_every_goal_is_that_of_trying_everything),
        cmocka_unit_test(the_front_is_that_of_trying_everything),
        cmocka_unit_test(a_sample_of_the_front_is_on_the_front),
        cmocka_unit_test(caps_on_levels_and_steps_are_kept_at_the_least_time),
        cmocka_unit_test(a_long_front_is_searched_to_its_end),
        cmocka_unit_test(leaving_out_a_size_is_the_table_without_it),
        cmocka_unit_test(another_option_never_makes_a_plan_worse),
        cmocka_unit_test(a_tighter_end_never_makes_a_plan_cheaper),
        cmocka_unit_test(a_larger_budget_never_makes_a_plan_worse),
        cmocka_unit_test(the_check_refuses_a_ladder_that_breaks_a_rule),
        cmocka_unit_test(tables_that_break_their_rules_are_refused),
        cmocka_unit_test(a_search_can_be_cancelled),
        cmocka_unit_test(a_search_cut_short_says_so),
        cmocka_unit_test(a_catalogue_plan_keeps_every_rule),
#ifdef LEV_MEM_TEST
        cmocka_unit_test(any_allocation_may_fail),
#endif
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
