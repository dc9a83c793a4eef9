/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A target told by light, against drawing textures and slopes at random: the planner's
 * chance of meeting it is that of the faces that do. The light of each drawn face is
 * the model's; only how the two spreads go together is on trial here. */
#include "unit.h"

#include <math.h>

#include "cut_coef.h"
#include "levigate/cut.h"
#include "levigate/optics.h"
#include "num.h"
#include "optics_figure.h"
#include "rng.h"

enum { DRAWS = 1500 };

/* Gloss of a face ground one way, of this Ra, whose slope lies z deviations off. */
static double gloss(const lev_look_request *req, double ra_um, double z)
{
    lev_error err = {0};
    lev_texture_light light = {0};
    const double slope = lev_light_figure("texture_slope") *
                         pow(ra_um, lev_light_figure("texture_power")) *
                         exp(z * lev_light_figure("texture_lnsd"));
    const lev_texture t = {.ra_um = ra_um, .slope = slope, .one_way = true};
    assert_ok(lev_optics_texture_light(&t, req, &light, &err), &err);
    return light.gu[LEV_GLOSS_60][LEV_LAY_ACROSS].p50;
}

static void the_chance_of_a_gloss_is_that_of_drawn_faces(void **state)
{
    (void)state;
    const lev_rng r = {77};
    lev_error err = {0};
    lev_look_request req = {0};
    lev_spread need = {0};
    unsigned notes = 0;
    assert_ok(lev_optics_find("brass_260", &req.optic, &err), &err);
    const lev_light_target want = {.kind = LEV_LIGHT_GLOSS,
                                   .angle = LEV_GLOSS_60,
                                   .lay = LEV_LAY_ACROSS,
                                   .gu = 200.0};
    assert_ok(lev_optics_needed_ra(&want, true, &req, &need, &notes, &err), &err);
    const double limit_lnsd = log(need.p50 / need.p10) / lev_norm_quantile(0.9);
    assert_true(limit_lnsd > 0.2); /* Ra alone does not fix gloss */
    for (int k = 0; k < 3; k++) {
        lev_cut_pass pass = {.ra_um = need.p50 / exp(0.6 * k)};
        pass.ra_own_um = pass.ra_um;
        pass.lnsd[LEV_CUT_F_TEXTURE] = 0.27;
        const double texture =
            hypot(0.27, cut_coef_find("reading_sd", "any", NULL).lnsd);
        const double told = lev_cut_chance_below(&pass, need.p50, limit_lnsd);
        int met = 0;
        for (uint64_t i = 0; i < DRAWS; i++) {
            const double ra =
                pass.ra_um * exp(texture * lev_rng_normal(r, i, (uint64_t)(2 * k)));
            met +=
                gloss(&req, ra, lev_rng_normal(r, i, (uint64_t)(2 * k + 1))) >= want.gu;
        }
        print_message("# Ra %.3f um: chance %.3f, of %d drawn %.3f\n", pass.ra_um, told,
                      DRAWS, (double)met / DRAWS);
        /* three standard errors of the draw, and what a normal law of ln Ra misses */
        assert_near_abs((double)met / DRAWS, told, 0.04 + 0.03);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_chance_of_a_gloss_is_that_of_drawn_faces),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
