/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The planner against an independent solver: GLPK (GNU Linear Programming Kit) on the
 * same seeded tables, every goal, with and without deep marks and budgets. */
#include "unit.h"

#include "plan_milp.h"
#include "plan_random.h"

enum { INSTANCES = 320, LIMIT_MS = 20000 };

static void every_optimum_is_the_one_glpk_proves(void **state)
{
    (void)state;
    int feasible = 0;
    for (uint64_t seed = 0; seed < INSTANCES; seed++) {
        plan_random r;
        lev_error err = {0};
        lev_plan_ladder all[LEV_PLAN_GOALS];
        plan_random_small(&r, UINT64_C(70000) + seed, 4 + (int)(seed % 4),
                          3 + (int)(seed % 3), (int)(seed % 2), 8);
        assert_ok(lev_plan_solve_all(&r.t, NULL, all, &err), &err);
        for (int goal = 0; goal < LEV_PLAN_GOALS; goal++) {
            const double ours[] = {all[goal].time_s, all[goal].money,
                                   all[goal].remove_um, all[goal].n};
            const double theirs = milp_solve(&r.t, goal, LIMIT_MS);
            assert_true(theirs >= 0.0); /* false also when the time ran out */
            if (all[goal].n == 0)
                assert_true(theirs > 1e300);
            else
                assert_near(ours[goal], theirs, 1e-7); /* GLPK's own tolerance */
        }
        feasible += all[0].n > 0;
        plan_random_release(&r);
    }
    assert_true(feasible > INSTANCES / 3);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_optimum_is_the_one_glpk_proves),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
