/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A job planned face beside face against the same faces planned alone. */
#include "unit.h"

#include <string.h>

#include "app_plan.h"
#include "app_plan_look.h"
#include "job_io.h"
#include "json.h"

static void read_clock(lev_job *job)
{
    lev_error err = {0};
    lev_bytes b = {0};
    assert_ok(lev_bytes_read(LEV_EXAMPLES "/clock.json", 1 << 20, &b, &err), &err);
    assert_ok(lev_job_read("clock.json", &b, job, &err), &err);
    lev_bytes_release(&b);
}

static json_t *plan(const lev_job *job)
{
    lev_plan_answer a = {0};
    lev_error err = {0};
    int failed = 0;
    assert_ok(lev_app_plan(job, &a, &err), &err);
    json_t *j = lev_app_plan_json(&a, &failed);
    assert_int_equal(failed, 0);
    lev_plan_answer_release(&a);
    return j;
}

static void each_face_has_the_plan_it_has_alone(void **state)
{
    (void)state;
    lev_job job = {0};
    read_clock(&job);
    json_t *all = plan(&job);
    const json_t *faces = json_object_get(all, "faces");
    assert_int_equal(json_array_size(faces), job.faces_n);
    for (ptrdiff_t i = 0; i < job.faces_n; i++) {
        lev_job one = {0};
        lev_error err = {0};
        assert_ok(lev_job_one_face(&job, job.faces[i].name, &one, &err), &err);
        json_t *alone = plan(&one);
        assert_true(json_equal(json_array_get(json_object_get(alone, "faces"), 0),
                               json_array_get(faces, (size_t)i)));
        json_decref(alone);
    }
    json_decref(all);
    lev_job_release(&job);
}

typedef struct calls {
    int steps, faces, stop_at;
} calls;

static int count_step(void *to, int done, int all, const char *face)
{
    calls *c = to;
    assert_int_equal(done, c->steps);
    assert_true(face[0] != '\0');
    c->faces = all;
    return ++c->steps == c->stop_at;
}

static int never_wanted(void *to, ptrdiff_t begun)
{
    (void)to;
    (void)begun;
    return 1;
}

/* How far a search is, as it is told. */
typedef struct rise {
    int told;
    ptrdiff_t most;
} rise;

static int must_rise(void *to, ptrdiff_t begun)
{
    rise *r = to;
    assert_true(begun >= r->most);
    r->most = begun;
    r->told++;
    return 0;
}

static ptrdiff_t told_of(const char *path)
{
    lev_job job = {0};
    lev_error err = {0};
    lev_plan_answer a = {0};
    lev_bytes b = {0};
    rise r = {0};
    const lev_plan_from from = {.unwanted = must_rise, .to = &r};
    assert_ok(lev_bytes_read(path, 1 << 20, &b, &err), &err);
    assert_ok(lev_job_read("job", &b, &job, &err), &err);
    assert_ok(lev_app_plan_from(&job, &from, &a, &err), &err);
    assert_true(r.told > job.faces_n);
    lev_plan_answer_release(&a);
    lev_job_release(&job);
    lev_bytes_release(&b);
    return r.most;
}

static void a_search_tells_how_far_it_is_within_a_face(void **state)
{
    (void)state;
    assert_true(told_of(LEV_EXAMPLES "/clock.json") > 1000); /* side by side */
    /* in turn, from a drawer of three papers */
    assert_true(told_of(LEV_EXAMPLES "/../tests/cli/jobs/plate.json") > 0);
}

static void a_plan_tells_of_each_face_and_ends_when_told(void **state)
{
    (void)state;
    lev_job job = {0};
    lev_error err = {0};
    lev_plan_answer a = {0};
    calls whole = {0}, cut = {.stop_at = 3};
    read_clock(&job);
    assert_ok(lev_app_plan_watched(&job, count_step, &whole, &a, &err), &err);
    assert_int_equal(whole.steps, job.faces_n);
    assert_int_equal(whole.faces, job.faces_n);
    lev_plan_answer_release(&a);
    assert_int_equal(lev_app_plan_watched(&job, count_step, &cut, &a, &err),
                     LEV_E_CANCEL);
    assert_int_equal(cut.steps, 3);
    const lev_plan_from from = {.unwanted = never_wanted};
    assert_int_equal(lev_app_plan_from(&job, &from, &a, &err), LEV_E_CANCEL);
    lev_job_release(&job);
}

static bool is_one_shade(const lev_card_image *m)
{
    for (ptrdiff_t i = 1; i < m->height * m->stride; i++)
        if (m->pixel[i] != m->pixel[i % 3])
            return false;
    return true;
}

static void a_planned_face_shows_what_it_will_reflect(void **state)
{
    (void)state;
    lev_job job = {0};
    lev_error err = {0};
    lev_plan_answer a = {0};
    lev_arena arena = {0};
    read_clock(&job);
    assert_ok(lev_app_plan(&job, &a, &err), &err);
    for (ptrdiff_t i = 0; i < a.faces; i++) {
        lev_card_face c = {0}, again = {0};
        assert_ok(lev_plan_look(&a.face[i], LEV_UNITS_METRIC, &arena, &c, &err), &err);
        assert_ok(lev_plan_look(&a.face[i], LEV_UNITS_METRIC, &arena, &again, &err),
                  &err);
        assert_in_range(c.looks, 1, 2);
        const lev_card_look *after = &c.look[c.looks - 1];
        const lev_card_image *m = &after->image;
        assert_false(is_one_shade(m));
        assert_int_equal(m->width * 3, m->height * 4);
        assert_memory_equal(m->pixel, again.look[c.looks - 1].image.pixel,
                            (size_t)(m->height * m->stride));
        assert_true(strncmp(after->caption, "After ", 6) == 0);
        assert_non_null(strstr(after->gloss, "deg: "));
        assert_true(after->reads[0] != '\0');
    }
    lev_arena_release(&arena);
    lev_plan_answer_release(&a);
    lev_job_release(&job);
}

int main(void)
{
    lev_json_init();
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(each_face_has_the_plan_it_has_alone),
        cmocka_unit_test(a_plan_tells_of_each_face_and_ends_when_told),
        cmocka_unit_test(a_search_tells_how_far_it_is_within_a_face),
        cmocka_unit_test(a_planned_face_shows_what_it_will_reflect),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
