/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Plans for other work than a brass plate: wood, veneer, hard small parts, an old coat,
 * turned and hollow faces, a drawer, twelve pieces. What is asserted follows from the
 * request (limits, rules, counts); minutes are facts of the trade and only printed. */
#include "plan_scene.h"

static void drives(scene *c, const char *first, const char *second)
{
    c->face.drives[0] = first;
    c->face.drives[1] = second;
    c->face.drives_n = second != NULL ? 2 : 1;
}

static void no_ra(scene *c)
{
    c->face.target.ra_max_um = c->face.target.ra_min_um = NAN;
    c->face.target.lay = LEV_LAY_ANY;
}

/* A walnut board, planed, to a last grit between P180 and P240. */
static void walnut_board(scene *c)
{
    brass_plate(c);
    c->face.work = (lev_cut_work){.family = LEV_CUT_WOOD,
                                  .hardness_gpa = 0.045,
                                  .modulus_gpa = 1.0,
                                  .pore_floor_um = 2.75};
    c->face.area_mm2 = 500000.0;
    c->face.length_mm = 1000.0;
    c->face.width_mm = 500.0;
    c->face.start.mark_um = 15.0;
    no_ra(c);
    c->face.target.last_coarse_um = 82.0; /* P180, FEPA 43-1 */
    c->face.target.last_fine_um = 58.5;   /* P240, FEPA 43-GB */
    for (int i = 0; i < PAPERS_N; i++)
        c->media[i].drives = "orbital;hand-cork";
    drives(c, "orbital", "hand-cork");
}

/* A hardened steel part of 2 cm2, filed, to a bright face. */
static void steel_part(scene *c)
{
    brass_plate(c);
    c->face.work = (lev_cut_work){
        .family = LEV_CUT_METAL, .hardness_gpa = 5.8, .modulus_gpa = 206.0};
    c->face.area_mm2 = 200.0;
    c->face.length_mm = 40.0;
    c->face.width_mm = 5.0;
    c->face.start.mark_um = 10.0;
    c->face.target.ra_max_um = 0.1;
    c->face.target.lay = LEV_LAY_NONE;
    c->face.steps_without_grit = true;
    for (int i = 0; i < PAPERS_N; i++)
        c->media[i].mineral_hardness_gpa = 25.0;
}

static const lev_face_step *last_step(const lev_face_ladder *x)
{
    return x->step + x->steps - 1;
}

static void wood_ends_by_hand_along_the_grain_within_the_last_grits(void **state)
{
    (void)state;
    scene c;
    lev_face_result r = {0};
    walnut_board(&c);
    plan(&c, &r);
    assert_true(r.feasible);
    for (int i = 0; i < r.ladders; i++) {
        const lev_face_step *last = last_step(r.ladder + i);
        assert_string_equal(last->drive, "hand-cork");
        assert_near_abs(last->direction_deg, 0.0, 1e-12);
        assert_true(last->medium->d50_um <= 82.0 && last->medium->d50_um >= 58.5);
    }
    lev_face_result_release(&r);
}

static void a_machine_alone_may_end_on_wood(void **state)
{
    (void)state;
    scene c;
    lev_face_result r = {0};
    walnut_board(&c);
    drives(&c, "orbital", NULL);
    plan(&c, &r);
    assert_true(r.feasible);
    assert_string_equal(last_step(r.ladder)->drive, "orbital");
    lev_face_result_release(&r);
}

static void a_scraper_does_not_end_a_ladder_for_oil(void **state)
{
    (void)state;
    scene c;
    lev_face_result r = {0};
    walnut_board(&c);
    c.face.steps_without_grit = true;
    plan(&c, &r);
    assert_true(r.feasible);
    for (int i = 0; i < r.ladders; i++)
        assert_non_null(last_step(r.ladder + i)->medium);
    lev_face_result_release(&r);
}

static void a_veneer_keeps_its_budget_at_the_edges(void **state)
{
    (void)state;
    scene c;
    lev_face_result r = {0};
    walnut_board(&c);
    c.face.area_mm2 = 54000.0;
    c.face.length_mm = 300.0;
    c.face.width_mm = 180.0;
    c.face.start.mark_um = NAN;
    c.face.start.texture_d50_um = 125.0; /* P120, FEPA 43-1 */
    c.face.budget_um = 90.0;
    c.face.edge_wear = 2.5;
    drives(&c, "hand-cork", NULL);
    plan(&c, &r);
    assert_true(r.feasible);
    for (int i = 0; i < r.ladders; i++)
        assert_true(r.ladder[i].remove_um.p50 * 2.5 <= 90.0);
    lev_face_result_release(&r);
}

static void no_file_or_scraper_goes_on_hardened_steel(void **state)
{
    (void)state;
    scene c;
    lev_face_result r = {0};
    steel_part(&c);
    plan(&c, &r);
    assert_true(r.feasible);
    for (int i = 0; i < r.ladders; i++)
        for (int k = 0; k < r.ladder[i].steps; k++)
            assert_int_equal(r.ladder[i].step[k].kind, LEV_CUT_GRIT);
    lev_face_result_release(&r);
}

static void a_small_part_is_never_pressed_beyond_what_it_stands(void **state)
{
    (void)state;
    scene c;
    lev_face_result r = {0};
    steel_part(&c);
    plan(&c, &r);
    for (int i = 0; i < r.ladders; i++)
        for (int k = 0; k < r.ladder[i].steps; k++) {
            const lev_face_step *p = r.ladder[i].step + k;
            /* 50 kPa on 200 mm2 is 10 N: the rule of data/plan/rule.csv */
            assert_true(p->push_n <= 10.0 * (1.0 + 1e-9));
            assert_true(p->pressure_kpa >= 0.5 && p->pressure_kpa <= 50.0 + 1e-9);
        }
    lev_face_result_release(&r);
}

static void an_old_coat_goes_whole(void **state)
{
    (void)state;
    scene c;
    lev_face_result r = {0};
    walnut_board(&c);
    c.face.start.mark_um = NAN;
    c.face.start.strip_um = 120.0;
    plan(&c, &r);
    assert_true(r.feasible);
    for (int i = 0; i < r.ladders; i++)
        assert_true(r.ladder[i].remove_um.p50 >=
                    119.0); /* what the last check misses */
    lev_face_result_release(&r);
}

static void turned_bronze_is_done_in_the_lathe(void **state)
{
    (void)state;
    scene c;
    lev_face_result r = {0};
    brass_plate(&c);
    c.face.work.hardness_gpa = 1.6;
    c.face.shape = "turned";
    c.face.area_mm2 = 6580.0;
    c.face.length_mm = 470.0;
    c.face.width_mm = 14.0;
    c.face.start.mark_um = 4.0;
    c.face.target.lay = LEV_LAY_ANY;
    drives(&c, "lathe", NULL);
    plan(&c, &r);
    assert_true(r.feasible);
    for (int k = 0; k < r.ladder->steps; k++)
        assert_string_equal(r.ladder->step[k].drive, "lathe");
    lev_face_result_release(&r);
}

static void an_inside_curve_takes_longer_than_a_flat(void **state)
{
    (void)state;
    scene c;
    lev_face_result flat = {0}, inside = {0};
    brass_plate(&c);
    c.face.target.lay = LEV_LAY_ANY;
    c.face.media_n = 5;
    c.face.start.mark_um = 20.0;
    drives(&c, "hand-bare", NULL);
    plan(&c, &flat);
    c.face.shape = "inside";
    c.face.shape_time = 4.0;
    plan(&c, &inside);
    assert_true(flat.feasible && inside.feasible);
    /* each goal's optimum rises when every cost does */
    assert_true(inside.ladder[1].time_s.p50 > flat.ladder[1].time_s.p50);
    lev_face_result_release(&flat);
    lev_face_result_release(&inside);
}

static void a_drawer_is_never_overdrawn(void **state)
{
    (void)state;
    scene c;
    lev_face_result r = {0};
    brass_plate(&c);
    for (int i = 0; i < PAPERS_N; i++)
        c.media[i].count = i % 2 == 0 ? 1.0 : 0.5;
    c.face.steps_without_grit = true;
    plan(&c, &r);
    assert_true(r.feasible);
    for (int i = 0; i < r.ladders; i++)
        for (int m = 0; m < PAPERS_N; m++) {
            double used = 0.0;
            for (int k = 0; k < r.ladder[i].steps; k++)
                if (r.ladder[i].step[k].medium == c.media + m)
                    used += r.ladder[i].step[k].sheets.p50;
            assert_true(used <= c.media[m].count + 1e-9);
        }
    lev_face_result_release(&r);
}

static void twelve_pieces_share_setting_up(void **state)
{
    (void)state;
    scene c;
    lev_face_result one = {0}, twelve = {0};
    steel_part(&c);
    plan(&c, &one);
    c.face.count = 12;
    plan(&c, &twelve);
    assert_true(one.feasible && twelve.feasible);
    const double each_s = twelve.ladder[1].time_s.p50 / 12.0;
    assert_true(each_s < one.ladder[1].time_s.p50);
    print_message("steel part of 2 cm2: %.0f min alone, %.0f min each of twelve "
                  "(trade: 15 to 45 and 12 to 20 min to black polish)\n",
                  one.ladder[1].time_s.p50 / 60.0, each_s / 60.0);
    lev_face_result_release(&one);
    lev_face_result_release(&twelve);
}

static void one_fine_grit_alone_costs_more_than_a_ladder(void **state)
{
    (void)state;
    scene c;
    lev_face_result all = {0}, alone = {0};
    brass_plate(&c);
    plan(&c, &all);
    c.media[0] = c.media[6]; /* P600 only */
    c.face.media_n = 1;
    plan(&c, &alone);
    assert_true(all.feasible && alone.feasible);
    assert_true(alone.ladder[1].time_s.p50 > all.ladder[1].time_s.p50);
    print_message("saw marks of 60 um: P600 alone %.0f min, ladder %.0f min, ratio "
                  "%.1f (trade: many times)\n",
                  alone.ladder[1].time_s.p50 / 60.0, all.ladder[1].time_s.p50 / 60.0,
                  alone.ladder[1].time_s.p50 / all.ladder[1].time_s.p50);
    lev_face_result_release(&all);
    lev_face_result_release(&alone);
}

static void leaving_a_step_out_is_never_an_advantage(void **state)
{
    (void)state;
    scene c;
    lev_face_result r = {0};
    brass_plate(&c);
    c.face.labour_minor_per_s = 0.0; /* then the usual ladder is that of least time */
    plan(&c, &r);
    assert_near(r.ladder[0].time_s.p50, r.ladder[1].time_s.p50, 1e-12);
    for (int k = 0; k < r.ladder->steps; k++) {
        assert_true(r.ladder->step[k].if_skipped[0] != '\0');
        assert_null(strchr(r.ladder->step[k].if_skipped, '-'));
    }
    lev_face_result_release(&r);
}

static void a_told_length_sizes_the_spot(void **state)
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
                                   .direction_deg = 10.0,
                                   .length_mm = 8.0};
    assert_ok(lev_face_recover(&q, &a, &err), &err);
    assert_true(a.spot);
    /* two and three times the length of the defect: NAVEDTRA 14315 */
    assert_near(a.spot_mm, 16.0, 1e-12);
    assert_near(a.feather_mm, 24.0, 1e-12);
    lev_face_result_release(&r);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(wood_ends_by_hand_along_the_grain_within_the_last_grits),
        cmocka_unit_test(a_machine_alone_may_end_on_wood),
        cmocka_unit_test(a_scraper_does_not_end_a_ladder_for_oil),
        cmocka_unit_test(a_veneer_keeps_its_budget_at_the_edges),
        cmocka_unit_test(no_file_or_scraper_goes_on_hardened_steel),
        cmocka_unit_test(a_small_part_is_never_pressed_beyond_what_it_stands),
        cmocka_unit_test(an_old_coat_goes_whole),
        cmocka_unit_test(turned_bronze_is_done_in_the_lathe),
        cmocka_unit_test(an_inside_curve_takes_longer_than_a_flat),
        cmocka_unit_test(a_drawer_is_never_overdrawn),
        cmocka_unit_test(twelve_pieces_share_setting_up),
        cmocka_unit_test(one_fine_grit_alone_costs_more_than_a_ladder),
        cmocka_unit_test(leaving_a_step_out_is_never_an_advantage),
        cmocka_unit_test(a_told_length_sizes_the_spot),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
