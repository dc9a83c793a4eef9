/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The plan of a face, on invented faces with papers of the published P sizes. */
#include "levigate/note.h"
#include "plan_scene.h"

#include "mem.h"
#include "plan_space.h"

static void a_sawn_plate_gets_a_ladder_for_every_goal(void **state)
{
    (void)state;
    scene c;
    lev_face_result r = {0};
    brass_plate(&c);
    plan(&c, &r);
    assert_true(r.feasible);
    assert_in_range(r.ladders, LEV_FACE_LADDERS, LEV_FACE_LADDERS + r.points);
    for (int i = 0; i < r.ladders; i++) {
        const lev_face_ladder *x = r.ladder + i;
        assert_true(x->time_s.p10 < x->time_s.p50 && x->time_s.p50 < x->time_s.p90);
        for (int k = 1; k < x->steps; k++)
            assert_true(x->step[k].kind == LEV_CUT_GRAIN ||
                        x->step[k].pass.d50_um < x->step[k - 1].pass.d50_um);
        const lev_face_step *last = x->step + x->steps - 1;
        assert_true(last->ra_after_um.p90 < 0.4);
        assert_false(last->gate); /* it has a check of its own */
        assert_true(last->residue_um <=
                    c.face.full_miss * last->pass.deepest_um * (1.0 + 1e-6));
        assert_near_abs(last->direction_deg, 0.0, 1e-12);
    }
    assert_true(r.points >= 1);
    lev_face_result_release(&r);
}

static void steps_are_turned_against_each_other(void **state)
{
    (void)state;
    scene c;
    lev_face_result r = {0};
    brass_plate(&c);
    plan(&c, &r);
    const int steps = r.ladder[0].steps;
    assert_int_equal(r.ladder[0].step[steps - 1].kind, LEV_CUT_GRAIN);
    for (int k = 1; k < steps - 1; k++) {
        const double turn = fabs(r.ladder[0].step[k].direction_deg -
                                 r.ladder[0].step[k - 1].direction_deg);
        assert_true(turn >= 30.0 && turn <= 90.0); /* common practice, no source */
    }
    lev_face_result_release(&r);
}

static void every_step_says_why_and_what_skipping_costs(void **state)
{
    (void)state;
    scene c;
    lev_face_result r = {0};
    brass_plate(&c);
    plan(&c, &r);
    for (int k = 0; k < r.ladder[0].steps; k++) {
        assert_true(r.ladder[0].step[k].why[0] != '\0');
        assert_true(r.ladder[0].step[k].if_skipped[0] != '\0');
    }
    lev_face_result_release(&r);
}

static bool has_jump(const lev_face_ladder *x)
{
    for (int k = 1; k < x->steps; k++)
        if (x->step[k].medium != NULL && x->step[k - 1].medium != NULL &&
            x->step[k - 1].medium->d50_um > 4.0 * x->step[k].medium->d50_um)
            return true;
    return false;
}

/* A line goes no faster than the face around it: each grit takes off what the deepest
 * line of the one before is deeper than its own lines hide. Four times finer at most is
 * common practice, no source: a ladder with a bigger jump says so. */
static void no_grit_is_trusted_with_lines_deeper_than_what_it_takes_off(void **state)
{
    (void)state;
    for (int finest = PAPERS_N - 3; finest < PAPERS_N; finest++)
        for (int coarse = 0; coarse < 3; coarse++) {
            scene c;
            lev_face_result r = {0};
            brass_plate(&c);
            c.media[1] = c.media[finest];
            c.media[0] = c.media[coarse];
            c.face.media_n = 2; /* from the one to the other or not at all */
            plan(&c, &r);
            for (int i = 0; i < r.ladders; i++) {
                const lev_face_ladder *x = r.ladder + i;
                for (int k = 1; k < x->steps; k++)
                    if (x->step[k].kind == LEV_CUT_GRAIN &&
                        x->step[k].stroke != LEV_STROKE_ONE_WAY)
                        assert_true(x->step[k].remove_um >=
                                    lev_cut_sunk_um(&x->step[k - 1].pass,
                                                    &x->step[k].pass, c.face.miss));
                assert_int_equal((x->notes & LEV_NOTE_JUMP) != 0, has_jump(x));
            }
            lev_face_result_release(&r);
        }
}

static void a_small_budget_is_refused_with_the_budget_that_would_do(void **state)
{
    (void)state;
    scene c;
    lev_face_result r = {0}, again = {0};
    double would = 0.0;
    brass_plate(&c);
    c.face.budget_um = 30.0; /* the marks alone are 60 um deep */
    plan(&c, &r);
    assert_false(r.feasible);
    assert_true(r.why_not[0] != '\0');
    assert_int_equal(sscanf(r.would_help, "With %lf um to spare", &would), 1);
    assert_true(would > 60.0);
    c.face.budget_um = would;
    plan(&c, &again);
    assert_true(again.feasible);
    lev_face_result_release(&r);
    lev_face_result_release(&again);
}

static void a_target_too_fine_for_the_drawer_is_refused_with_what_helps(void **state)
{
    (void)state;
    scene c;
    lev_face_result r = {0};
    brass_plate(&c);
    c.face.media_n = 4; /* P80 to P240 */
    c.face.target.ra_max_um = 0.15;
    plan(&c, &r);
    assert_false(r.feasible);
    assert_true(r.why_not[0] != '\0');
    assert_true(r.would_help[0] != '\0');
    lev_face_result_release(&r);
}

static void too_smooth_is_wrong_as_well(void **state)
{
    (void)state;
    scene c;
    lev_face_result r = {0};
    brass_plate(&c);
    c.face.target.ra_max_um = 0.5;
    c.face.target.ra_min_um = 0.15;
    plan(&c, &r);
    assert_true(r.feasible);
    for (int i = 0; i < r.ladders; i++)
        assert_true(r.ladder[i].step[r.ladder[i].steps - 1].ra_after_um.p50 >= 0.15);
    lev_face_result_release(&r);
}

static void a_file_is_a_step_like_the_others(void **state)
{
    (void)state;
    scene c;
    lev_face_result with = {0}, without = {0};
    brass_plate(&c);
    c.face.start.mark_um = 200.0;
    plan(&c, &without);
    c.face.steps_without_grit = true;
    plan(&c, &with);
    assert_true(with.feasible && without.feasible);
    assert_true(with.ladder[1].time_s.p50 <= without.ladder[1].time_s.p50);
    assert_int_equal(with.ladder[1].step[0].kind == LEV_CUT_GRIT, 0);
    for (int i = 0; i < with.ladders; i++) { /* nothing stays that may not */
        const lev_face_ladder *x = with.ladder + i;
        const lev_face_step *last = x->step + x->steps - 1;
        assert_true(last->residue_um <=
                    c.face.full_miss * last->pass.deepest_um * (1.0 + 1e-6));
    }
    lev_face_result_release(&with);
    lev_face_result_release(&without);
}

static void each_ladder_is_best_at_its_goal(void **state)
{
    (void)state;
    scene c;
    lev_face_result r = {0};
    brass_plate(&c);
    plan(&c, &r);
    for (int i = 0; i < r.ladders; i++) {
        assert_true(r.ladder[2].cost_minor.p50 <= r.ladder[i].cost_minor.p50 * 1.02);
        assert_true(r.ladder[3].remove_um.p50 <= r.ladder[i].remove_um.p50 + 1e-9);
        assert_true(r.ladder[4].steps <= r.ladder[i].steps);
    }
    lev_face_result_release(&r);
}

static void a_line_found_late_goes_back_no_further_than_it_must(void **state)
{
    (void)state;
    scene c;
    lev_face_result r = {0};
    lev_error err = {0};
    lev_recover_answer shallow, deep;
    brass_plate(&c);
    plan(&c, &r);
    const lev_face_ladder *x = r.ladder;
    lev_recover_request q = {.face = &c.face,
                             .ladder = x,
                             .found_after = x->steps,
                             .depth_um = x->step[x->steps - 1].pass.deepest_um,
                             .lone = true,
                             .direction_deg = NAN};
    assert_ok(lev_face_recover(&q, &shallow, &err), &err);
    q.depth_um = 50.0;
    q.lone = false;
    assert_ok(lev_face_recover(&q, &deep, &err), &err);
    assert_true(deep.back_to_step <= shallow.back_to_step);
    assert_false(deep.spot);
    assert_string_equal(deep.cause, "start-mark");
    assert_true(deep.ladder.steps == x->steps - deep.back_to_step + 1);
    q.found_after = 99;
    assert_int_equal(lev_face_recover(&q, &deep, &err), LEV_E_RANGE);
    lev_face_result_release(&r);
}

static void a_lone_shallow_line_is_blended_over_two_to_three_lengths(void **state)
{
    (void)state;
    scene c;
    lev_face_result r = {0};
    lev_error err = {0};
    lev_recover_answer a;
    brass_plate(&c);
    plan(&c, &r);
    const lev_recover_request q = {.face = &c.face,
                                   .ladder = r.ladder,
                                   .found_after = r.ladder->steps,
                                   .depth_um = 2.0,
                                   .lone = true,
                                   .direction_deg = 10.0};
    assert_ok(lev_face_recover(&q, &a, &err), &err);
    assert_true(a.spot);
    /* two or three times the length of the defect: NAVEDTRA 14315 */
    assert_near(a.feather_mm / a.spot_mm, 1.5, 1e-12);
    assert_true(a.dish_um > 0.0);
    lev_face_result_release(&r);
}

/* Several things to trade: files take more at once and leave more. */
static void plate_with_a_choice(scene *c)
{
    brass_plate(c);
    c->face.work.hardness_gpa = 7.0;
    c->face.start.mark_um = 5.0;
    c->face.target.ra_max_um = 0.06;
}

/* The figures of a point come from the table, those of its ladder from its steps. */
static void every_point_of_the_front_has_its_ladder(void **state)
{
    (void)state;
    scene c;
    lev_face_result r = {0}, other = {0};
    lev_error err = {0};
    plate_with_a_choice(&c);
    plan(&c, &r);
    assert_true(r.ladders > LEV_FACE_LADDERS); /* some point is no goal */
    for (int i = 0; i < r.points; i++) {
        const lev_face_point *p = r.pareto + i;
        assert_in_range(p->ladder, 1, r.ladders - 1);
        const lev_face_ladder *x = r.ladder + p->ladder;
        assert_int_equal(x->steps, p->steps);
        assert_near(x->time_s.p50, p->time_s, 0.05);
        assert_near(x->remove_um.p50, p->remove_um, 1e-6);
        for (int k = 0; k < x->steps; k++)
            assert_true(x->step[k].why[0] != '\0');
    }
    for (int i = LEV_FACE_LADDERS; i < r.ladders; i++) {
        char word[24];
        snprintf(word, sizeof word, "choice-%d", i - LEV_FACE_LADDERS + 1);
        assert_string_equal(r.ladder[i].goal, word);
    }
    assert_int_equal(r.chosen, 0);
    c.face.goal = "choice-1";
    plan(&c, &other);
    assert_int_equal(other.chosen, LEV_FACE_LADDERS);
    assert_true(other.ladder[LEV_FACE_LADDERS].step[0].if_skipped[0] != '\0');
    lev_face_result_release(&other);
    c.face.goal = "choice-60";
    assert_int_equal(lev_face_plan(&c.face, NULL, &other, &err), LEV_E_UNKNOWN);
    assert_non_null(strstr(err.text, "choice-60"));
    lev_face_result_release(&r);
}

typedef struct patience {
    int asked, most;
} patience;

static int lose_patience(void *payload, ptrdiff_t labels)
{
    patience *p = payload;
    (void)labels;
    return ++p->asked > p->most;
}

static void a_plan_nobody_waits_for_ends_within_its_face(void **state)
{
    (void)state;
    scene c;
    lev_face_result r = {0};
    lev_error err = {0};
    patience never = {0, 1 << 20};
    plate_with_a_choice(&c);
    lev_plan_limits limits = {.progress = lose_patience, .payload = &never};
    assert_ok(lev_face_plan(&c.face, &limits, &r, &err), &err);
    lev_face_result_release(&r);
    assert_true(never.asked > 5);
    for (int most = 0; most < never.asked; most += 1 + never.asked / 7) {
        patience p = {0, most};
        limits.payload = &p;
        assert_int_equal(lev_face_plan(&c.face, &limits, &r, &err), LEV_E_CANCEL);
        assert_int_equal(p.asked, most + 1); /* and stops at once */
        assert_null(r.ladder);
    }
}

#ifdef LEV_MEM_TEST
static void any_allocation_may_fail(void **state)
{
    (void)state;
    scene c;
    brass_plate(&c);
    c.face.media_n = 6;
    const long alive = lev_mem_test_alive();
    for (long nth = 1;; nth++) {
        lev_error err = {0};
        lev_face_result r = {0};
        lev_mem_test_fail(nth);
        const lev_status st = lev_face_plan(&c.face, NULL, &r, &err);
        const bool failed = lev_mem_test_count() >= nth;
        lev_mem_test_fail(0);
        assert_int_equal(st, failed ? LEV_E_MEMORY : LEV_OK);
        lev_face_result_release(&r);
        assert_int_equal(lev_mem_test_alive(), alive);
        if (!failed)
            break;
    }
}
#endif

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_sawn_plate_gets_a_ladder_for_every_goal),
        cmocka_unit_test(steps_are_turned_against_each_other),
        cmocka_unit_test(every_step_says_why_and_what_skipping_costs),
        cmocka_unit_test(no_grit_is_trusted_with_lines_deeper_than_what_it_takes_off),
        cmocka_unit_test(every_point_of_the_front_has_its_ladder),
        cmocka_unit_test(a_plan_nobody_waits_for_ends_within_its_face),
        cmocka_unit_test(a_small_budget_is_refused_with_the_budget_that_would_do),
        cmocka_unit_test(a_target_too_fine_for_the_drawer_is_refused_with_what_helps),
        cmocka_unit_test(too_smooth_is_wrong_as_well),
        cmocka_unit_test(a_file_is_a_step_like_the_others),
        cmocka_unit_test(each_ladder_is_best_at_its_goal),
        cmocka_unit_test(a_line_found_late_goes_back_no_further_than_it_must),
        cmocka_unit_test(a_lone_shallow_line_is_blended_over_two_to_three_lengths),
#ifdef LEV_MEM_TEST
        cmocka_unit_test(any_allocation_may_fail),
#endif
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
