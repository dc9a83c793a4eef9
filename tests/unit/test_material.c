/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Materials by name, state and hardness. */
#include "unit.h"

#include <string.h>

#include "levigate/material.h"
#include "levigate/note.h"

static lev_material find(const char *name)
{
    lev_material m;
    lev_error err = {0};
    assert_ok(lev_material_find(name, &m, &err), &err);
    return m;
}

static lev_hardness hardness(const char *words)
{
    lev_hardness h;
    lev_error err = {0};
    assert_ok(lev_material_hardness(words, &h, &err), &err);
    return h;
}

static void names_lead_to_materials_in_any_state(void **state)
{
    (void)state;
    static const char *const as[][2] = {
        {"steel_mild", "steel_mild"},     {"Mild Steel", "steel_mild"},
        {"brass", "brass_260"},           {"brass, rolled", "brass_260"},
        {"rolled brass", "brass_260"},    {"brass half hard", "brass_360"},
        {"brass, annealed", "brass_260"}, {"walnut", "w_walnut"},
        {"copper hard", "cu_hard"},       {"copper, annealed", "cu"},
        {"O1 hardened", "steel_O1_hard"}, {"O1, annealed", "steel_O1_ann"},
        {"cast iron", "iron_grey"},       {"acrylic", "pmma"},
        {"stainless", "ss_304"},          {"Douglas fir", "w_dfir"},
        {"French polish", "c_shellac"},   {"window glass", "glass_sl"},
    };
    for (size_t i = 0; i < sizeof as / sizeof *as; i++)
        if (strcmp(find(as[i][0]).id, as[i][1]) != 0) {
            print_error("%s is read as %s, not %s\n", as[i][0], find(as[i][0]).id,
                        as[i][1]);
            fail();
        }
}

static void every_id_and_name_reads_back(void **state)
{
    (void)state;
    for (int i = 0; i < lev_material_count(); i++) {
        const lev_material m = lev_material_at(i);
        assert_string_equal(find(m.id).id, m.id);
        assert_string_equal(find(m.name).id, m.id);
    }
}

static void figures_carry_unit_mark_and_source(void **state)
{
    (void)state;
    const lev_material m = find("steel_mild");
    assert_near(m.density_kg_m3.value, 7850.0, 0.0); /* Callister 2008, appendix B */
    assert_near(m.youngs_gpa.value, 207.0, 0.0);     /* Callister 2008, appendix B */
    assert_int_equal(m.density_kg_m3.mark, LEV_MARK_READ);
    assert_true(m.density_kg_m3.source[0] != '\0');
    assert_near(m.hardness_gpa.value, 130.0 * 0.00980665,
                1e-3); /* 130 HB as pressure */
}

static void published_hardness_and_its_pressure_agree_everywhere(void **state)
{
    (void)state;
    for (int i = 0; i < lev_material_count(); i++) {
        const lev_material m = lev_material_at(i);
        if (!lev_known(m.hardness.value) || !lev_known(m.hardness_gpa.value))
            continue;
        /* Unit factors: kgf/mm2 for HB and HV, 100 mm2 for the Janka ball. */
        const double factor = strcmp(m.scale, "hb") == 0 || strcmp(m.scale, "hv") == 0
                                  ? 0.00980665
                              : strcmp(m.scale, "n") == 0 ? 1e-5
                                                          : 1.0;
        assert_near(m.hardness_gpa.value, m.hardness.value * factor, 0.02);
    }
}

static void a_state_nobody_lists_is_said(void **state)
{
    (void)state;
    lev_material_reading r;
    lev_error err = {0};
    assert_ok(lev_material_read("walnut annealed", &r, &err), &err);
    assert_true(strstr(r.warning, "annealed") != NULL);
    assert_string_equal(r.match[0].id, "w_walnut");
}

static void unknown_names_get_suggestions(void **state)
{
    (void)state;
    lev_material m;
    lev_error err = {0};
    assert_int_equal(lev_material_find("wallnut", &m, &err), LEV_E_UNKNOWN);
    assert_true(strstr(err.text, "walnut") != NULL);
    assert_int_equal(lev_material_find("unobtainium ore", &m, &err), LEV_E_UNKNOWN);
    assert_int_equal(lev_material_find("", &m, &err), LEV_E_FORMAT);
    assert_int_equal(lev_material_find(" , ", &m, &err), LEV_E_FORMAT);
}

static void families_are_told_apart(void **state)
{
    (void)state;
    const lev_material brass = find("brass"), walnut = find("walnut");
    assert_true(lev_material_is_metal(&brass) && !lev_material_is_ferrous(&brass));
    assert_true(lev_material_is_wood(&walnut) && !lev_material_is_metal(&walnut));
    const lev_material tool = find("O1 hardened"), glass = find("glass");
    assert_true(lev_material_is_ferrous(&tool) && lev_material_is_glass(&glass));
    for (int i = 0; i < lev_material_count(); i++) {
        const lev_material m = lev_material_at(i);
        assert_int_equal(lev_material_is_metal(&m) + lev_material_is_wood(&m) +
                             lev_material_is_glass(&m) + lev_material_is_stone(&m) +
                             lev_material_is_polymer(&m) + lev_material_is_coating(&m),
                         1); /* every material has one family */
    }
}

static void hardness_is_read_in_the_scales_of_the_bench(void **state)
{
    (void)state;
    /* kgf/mm2 and lbf are exact; Janka's ball has a section of 100 mm2 (ASTM D143). */
    assert_near(hardness("302 HV").gpa, 302.0 * 0.00980665, 1e-12);
    assert_near(hardness("HB 130").gpa, 130.0 * 0.00980665, 1e-12);
    assert_near(hardness("1010 lbf").gpa, 1010.0 * 4.4482216152605e-5, 1e-12);
    assert_near(hardness("janka 4490 N").gpa, 0.0449, 1e-12);
    assert_near(hardness("2.5 GPa").gpa, 2.5, 1e-12);
    assert_near(hardness("60 HRC").gpa, hardness("HRC 60").gpa, 0.0);
    double last = 0.0;
    for (double hrc = 20.0; hrc <= 68.0; hrc += 0.5) { /* rises all the way */
        char words[32];
        (void)snprintf(words, sizeof words, "%g HRC", hrc);
        assert_true(hardness(words).gpa > last);
        last = hardness(words).gpa;
    }
}

static void the_file_test_gives_a_band_and_says_so(void **state)
{
    (void)state;
    const lev_hardness soft = hardness("bites deep"), hard = hardness("skates");
    assert_true(soft.low_gpa < soft.gpa && soft.gpa < soft.high_gpa);
    assert_true(soft.high_gpa < hard.low_gpa);
    assert_true((hard.notes & LEV_NOTE_PRACTICE) != 0);
    lev_hardness h;
    lev_error err = {0};
    assert_int_equal(lev_material_hardness("99 HRC", &h, &err), LEV_E_RANGE);
    assert_int_equal(lev_material_hardness("rather hard", &h, &err), LEV_E_FORMAT);
    assert_int_equal(lev_material_hardness("-3 HV", &h, &err), LEV_E_RANGE);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(names_lead_to_materials_in_any_state),
        cmocka_unit_test(every_id_and_name_reads_back),
        cmocka_unit_test(figures_carry_unit_mark_and_source),
        cmocka_unit_test(published_hardness_and_its_pressure_agree_everywhere),
        cmocka_unit_test(a_state_nobody_lists_is_said),
        cmocka_unit_test(unknown_names_get_suggestions),
        cmocka_unit_test(families_are_told_apart),
        cmocka_unit_test(hardness_is_read_in_the_scales_of_the_bench),
        cmocka_unit_test(the_file_test_gives_a_band_and_says_so),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
