/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The job file: the demo reads, and every mistake is named with its place. */
#include "unit.h"

#include <stdlib.h>
#include <string.h>

#include "job_io.h"
#include "mem.h"

#define JOB(face)                                                                      \
    "{\"levigate\":1,\"name\":\"t\",\"currency\":\"EUR\",\"labour_minor_per_h\":1000," \
    "\n"                                                                               \
    "\"faces\":[{" face "}]}"
#define FACE(start, target)                                                            \
    "\"name\":\"a\",\"material\":\"brass_260\",\"area_mm2\":100,\"shape\":\"flat\",\n" \
    "\"start\":{" start "},\n\"target\":{" target "}"
#define DEPTH "\"kind\":\"depth\",\"depth_um\":20,\"how\":\"nail\""
#define RA    "\"kind\":\"limit\",\"symbol\":\"Ra\",\"max_um\":0.4,\"rule\":\"mean\""

static lev_status read_text(const char *s, size_t n, lev_job *job, lev_error *err)
{
    lev_bytes b = {.n = n};
    lev_mem_test_fail(0);
    assert_int_equal(lev_mem_text(s, n, &b.data, err), LEV_OK);
    return lev_job_read("job.json", &b, job, err);
}

static void refuse(const char *text, const char *where, const char *says)
{
    lev_job job = {0};
    lev_error err = {0};
    assert_true(read_text(text, strlen(text), &job, &err) < 0);
    if (strcmp(err.where, where) != 0 || strstr(err.text, says) == NULL) {
        print_error("got: %s: %s\nwant: %s: ...%s...\n", err.where, err.text, where,
                    says);
        fail();
    }
    lev_job_release(&job);
}

static void the_demo_clock_reads_whole(void **state)
{
    (void)state;
    lev_job job = {0};
    lev_error err = {0};
    assert_ok(lev_job_load(LEV_EXAMPLES "/clock.json", &job, &err), &err);
    assert_true(job.faces_n >= 6);
    assert_string_equal(job.currency, "EUR");
    assert_string_equal(job.faces[0].name, "front-plate");
    assert_near(job.faces[0].area_mm2, 150.0 * 110.0, 0.0);
    assert_int_equal(job.faces[0].target.kind, LEV_TARGET_LOOK);
    lev_job_release(&job);
}

static void each_start_and_target_kind_reads(void **state)
{
    (void)state;
    static const char *const starts[] = {
        DEPTH, "\"kind\":\"process\",\"process\":\"sawn\"",
        "\"kind\":\"process\",\"process\":\"coat\",\"coat_um\":80",
        "\"kind\":\"grit\",\"system\":\"P\",\"label\":\"P80\"",
        "\"kind\":\"trace\",\"file\":\"a.x3p\""};
    static const char *const targets[] = {
        RA,
        "\"kind\":\"n-grade\",\"n\":6",
        "\"kind\":\"look\",\"look\":\"satin\"",
        "\"kind\":\"class\",\"standard\":\"ISO 1302\",\"class\":\"N5\"",
        "\"kind\":\"gloss\",\"gu\":300,\"angle_deg\":60,\"lay\":\"along\"",
        "\"kind\":\"readable\",\"type_mm\":3,\"distance_mm\":300",
        "\"kind\":\"last-grit\",\"system\":\"P\",\"label\":\"P180\""};
    for (size_t i = 0; i < sizeof starts / sizeof *starts; i++)
        for (size_t k = 0; k < sizeof targets / sizeof *targets; k++) {
            char text[1200];
            lev_job job = {0};
            lev_error err = {0};
            (void)snprintf(text, sizeof text, JOB(FACE("%s", "%s")), starts[i],
                           targets[k]);
            assert_ok(read_text(text, strlen(text), &job, &err), &err);
            lev_job_release(&job);
        }
}

static void mistakes_are_named_with_their_place(void **state)
{
    (void)state;
    refuse("", "job.json:1:1", "not valid JSON");
    refuse("{}", "job.json:1:1", "\"levigate\" is missing");
    refuse(JOB(FACE(DEPTH, RA) ",\"colour\":1"), "job.json:4:68", "colour");
    refuse("{\"levigate\":2,\"name\":\"t\"}", "job.json:1:13", "from 1 to 1");
    refuse(JOB("\"name\":\"Front Plate\""), "job.json:2:18", "small letters");
    refuse(JOB("\"name\":\"a\",\"material\":\"brasss_260\",\"area_mm2\":1,"
               "\"shape\":\"flat\""),
           "job.json:2:33", "brass_260");
    refuse(JOB("\"name\":\"a\",\"material\":\"brass_260\",\"area_mm2\":-4,"
               "\"shape\":\"flat\""),
           "job.json:2:56", "from 0.01");
    refuse(JOB("\"name\":\"a\",\"material\":\"brass_260\",\"shape\":\"flat\""),
           "job.json:2:10", "neither");
    refuse(JOB("\"name\":\"a\",\"material\":\"brass_260\",\"area_mm2\":4,\"size_mm\":["
               "1,2],"
               "\"shape\":\"flat\""),
           "job.json:2:10", "both");
    refuse(JOB(FACE("\"kind\":\"depth\",\"how\":\"nail\"", RA)), "job.json:3:9",
           "\"depth_um\" is missing");
    refuse(JOB(FACE("\"kind\":\"grit\",\"system\":\"P\",\"label\":\"P225\"", RA)),
           "job.json:3:45", "P220");
    refuse(JOB(FACE(DEPTH, "\"kind\":\"look\",\"look\":\"satn\"")), "job.json:4:32",
           "did you mean \"satin\"");
    refuse(JOB(FACE(DEPTH,
                    "\"kind\":\"class\",\"standard\":\"ISO 1302\",\"class\":\"N55\"")),
           "job.json:4:56", "no class");
    refuse(JOB(FACE(DEPTH, RA) "},{" FACE(DEPTH, RA)), "job.json:4:77", "stands twice");
    refuse(JOB(FACE(DEPTH, RA) ",\"drives\":[\"robot\"]"), "job.json:4:78", "no drive");
    refuse(JOB(FACE(DEPTH, RA) ",\"hold\":null"), "job.json:4:75", "null");
}

static void a_file_cut_anywhere_is_refused(void **state)
{
    (void)state;
    lev_bytes whole = {0};
    lev_error err = {0};
    assert_ok(lev_bytes_read(LEV_EXAMPLES "/clock.json", 1 << 20, &whole, &err), &err);
    size_t end = whole.n;
    while (end > 0 && whole.data[end - 1] != '}')
        end--;
    const size_t step = end > 4096 ? 1 + end / 500 : 1;
    for (size_t n = 0; n < end; n += step) {
        lev_job job = {0};
        memset(&err, 0, sizeof err);
        assert_true(read_text(whole.data, n, &job, &err) < 0);
        assert_true(err.text[0] != '\0' && strchr(err.text, '\n') == NULL);
        lev_job_release(&job);
    }
    lev_bytes_release(&whole);
}

static void any_allocation_may_fail_and_nothing_is_lost(void **state)
{
    (void)state;
    static const char text[] = JOB(FACE(DEPTH, RA));
    const long before = lev_mem_test_alive();
    for (long nth = 1; nth < 2000; nth++) {
        lev_job job = {0};
        lev_error err = {0};
        lev_bytes b = {.n = sizeof text - 1};
        assert_int_equal(lev_mem_text(text, b.n, &b.data, &err), LEV_OK);
        lev_mem_test_fail(nth);
        const lev_status st = lev_job_read("job.json", &b, &job, &err);
        const long used = lev_mem_test_count();
        lev_mem_test_fail(0);
        lev_job_release(&job);
        assert_int_equal(lev_mem_test_alive(), before);
        if (st >= 0 && used < nth)
            return; /* every allocation had its turn */
        assert_true(st < 0);
    }
    fail();
}

int main(void)
{
    lev_json_init();
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_demo_clock_reads_whole),
        cmocka_unit_test(each_start_and_target_kind_reads),
        cmocka_unit_test(mistakes_are_named_with_their_place),
        cmocka_unit_test(a_file_cut_anywhere_is_refused),
        cmocka_unit_test(any_allocation_may_fail_and_nothing_is_lost),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
