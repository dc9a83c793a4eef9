/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Heat of a step: worked example and closed forms. */
#include "unit.h"

#include <math.h>

#include "levigate/heat.h"

static const lev_cut_tool block = {.grain = {4.0943445622221, 0.2, 110.0}, /* 60 um */
                                   .mineral = "brown-alumina",
                                   .carrier = "paper",
                                   .drive = "hand-plate",
                                   .push_n = 20.0,
                                   .contact_mm2 = 2000.0,
                                   .speed_m_s = 0.2};

static lev_cut_pass pass_of(const lev_cut_work *work, const lev_cut_tool *tool)
{
    lev_error err = {0};
    lev_cut_pass p;
    assert_ok(lev_cut_pass_init(work, tool, 5000.0, &p, &err), &err);
    return p;
}

/* ---- heat ---- */

static void strip_source_warms_steel_by_14_kelvin(void **state)
{
    (void)state;
    /* worked example in Jaeger's form: 20 kPa at 15 m/s, friction 0.5, share 0.7, 50 mm
     * moving at 20 mm/s on carbon steel (50 W/mK, 7850 kg/m3, 480 J/kgK): 14 K */
    const double flux = 0.7 * 0.5 * 20e3 * 15.0;
    const double rise = lev_heat_strip_rise_k(flux, 50.0, 0.02, 50.0, 7850.0, 480.0);
    assert_near_abs(rise, 14.0, 0.5);
}

static void thin_parts_warm_by_their_heat_store(void **state)
{
    (void)state;
    const lev_cut_work work = {.family = LEV_CUT_METAL,
                               .hardness_gpa = 2.0,
                               .conductivity_w_mk = 50.0,
                               .density_kg_m3 = 7850.0,
                               .heat_j_kgk = 480.0,
                               .damage_c = 200.0};
    lev_cut_tool tool = block;
    tool.drive = "belt";
    tool.carrier = "belt";
    tool.speed_m_s = 15.0;
    tool.push_n = 20.0;
    tool.contact_mm2 = 200.0;
    const lev_cut_pass p = pass_of(&work, &tool);
    const lev_heat_part part = {.thickness_mm = 5.0 / 7.85,
                                .area_mm2 = 1000.0}; /* 5 g */
    lev_heat h;
    assert_ok(lev_heat_step(&work, &tool, &p, &part, &h, NULL), &(lev_error){0});
    /* closed form: share x friction x F v / (m c), with rows heat_share 0.7, grip 0.45
     */
    assert_near(h.rate_k_s, 0.7 * 0.45 * 20.0 * 15.0 / (0.005 * 480.0), 1e-9);
    assert_true(h.to_damage_s >= 0.0 && h.to_damage_s < 200.0 / h.rate_k_s);
    const lev_heat_part none = {.thickness_mm = 0.0, .area_mm2 = 1.0};
    assert_int_equal(lev_heat_step(&work, &tool, &p, &none, &h, NULL), LEV_E_RANGE);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(strip_source_warms_steel_by_14_kelvin),
        cmocka_unit_test(thin_parts_warm_by_their_heat_store),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
