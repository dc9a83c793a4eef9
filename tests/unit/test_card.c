/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Drawing: the same bytes twice, failures in one line, places on an axis. */
#include "unit.h"

#include <stdlib.h>
#include <string.h>

#include "../card/demo.h"
#include "card_canvas.h"
#include "card_draw.h"
#include "card_job.h"
#include "card_plot.h"
#include "mem.h"

/* A sink in memory that refuses after so many bytes. */
typedef struct heap_sink {
    unsigned char *bytes;
    size_t n, cap, refuse_after; /* 0 = never */
} heap_sink;

static int keep(void *to, const unsigned char *bytes, size_t n)
{
    heap_sink *s = to;
    if (s->refuse_after > 0 && s->n + n > s->refuse_after)
        return -1;
    if (s->n + n > s->cap) {
        s->cap = 2 * (s->n + n);
        s->bytes = realloc(s->bytes, s->cap);
        assert_non_null(s->bytes);
    }
    memcpy(s->bytes + s->n, bytes, n);
    s->n += n;
    return 0;
}

static lev_card_out out_to(heap_sink *s, lev_card_format format)
{
    const lev_card_out out = {.format = format, .dpi = 72.0, .write = keep, .to = s};
    return out;
}

/* One line, no full stop: the rule for every message. */
static void assert_one_line(const lev_error *err)
{
    const size_t n = strlen(err->text);
    assert_true(n > 0);
    assert_null(strchr(err->text, '\n'));
    assert_true(err->text[n - 1] != '.');
}

static void the_same_view_gives_the_same_pdf(void **state)
{
    (void)state;
    lev_error err = {0};
    heap_sink a = {0};
    heap_sink b = {0};
    const lev_card_job job = demo_job(LEV_CARD_A4);
    const lev_card_out to_a = out_to(&a, LEV_CARD_PDF);
    const lev_card_out to_b = out_to(&b, LEV_CARD_PDF);
    assert_ok(card_job(&job, &to_a, &err), &err);
    assert_ok(card_job(&job, &to_b, &err), &err);
    assert_true(a.n > 10000);
    assert_int_equal(a.n, b.n);
    assert_memory_equal(a.bytes, b.bytes, a.n);
    free(a.bytes);
    free(b.bytes);
}

static void every_paper_takes_every_demo_face(void **state)
{
    (void)state;
    static const lev_card_paper papers[] = {LEV_CARD_A4, LEV_CARD_LETTER, LEV_CARD_A5};
    for (size_t i = 0; i < 3; i++)
        for (int clip_top = 0; clip_top < 2; clip_top++) {
            lev_error err = {0};
            heap_sink s = {0};
            lev_card_job job = demo_job(papers[i]);
            job.clip_top = clip_top == 1;
            const lev_card_out to = out_to(&s, LEV_CARD_PDF);
            assert_ok(card_job(&job, &to, &err), &err);
            free(s.bytes);
        }
}

static void a_sink_that_refuses_is_an_io_failure(void **state)
{
    (void)state;
    for (int format = LEV_CARD_PDF; format <= LEV_CARD_PNG; format++) {
        lev_error err = {0};
        heap_sink s = {.refuse_after = 500};
        const lev_card_labels labels = demo_labels();
        const lev_card_out to = out_to(&s, (lev_card_format)format);
        assert_int_equal(card_labels(&labels, &to, &err), LEV_E_IO);
        assert_one_line(&err);
        free(s.bytes);
    }
}

static void refuse_job(const lev_card_job *job, lev_status wanted)
{
    lev_error err = {0};
    heap_sink s = {0};
    const lev_card_out to = out_to(&s, LEV_CARD_PDF);
    assert_int_equal(card_job(job, &to, &err), wanted);
    assert_one_line(&err);
    free(s.bytes);
}

static void a_date_that_is_none_is_refused(void **state)
{
    (void)state;
    static const char *const bad[] = {NULL,         "",           "today",
                                      "2026-1-31",  "2026/01/31", "2026-01-31T00:00",
                                      "2026-01-311"};
    for (size_t i = 0; i < sizeof bad / sizeof *bad; i++) {
        lev_card_job job = demo_job(LEV_CARD_A4);
        job.head.date = bad[i];
        refuse_job(&job, LEV_E_FORMAT);
    }
}

static void text_that_is_not_utf8_is_refused(void **state)
{
    (void)state;
    lev_card_job job = demo_job(LEV_CARD_A4);
    job.piece = "clock \xFF";
    refuse_job(&job, LEV_E_FORMAT);
}

static void a_letter_that_no_font_has_is_refused(void **state)
{
    (void)state;
    lev_card_job job = demo_job(LEV_CARD_A4);
    job.piece = "clock \xF3\xB0\x80\x80"; /* U+F0000, private use */
    refuse_job(&job, LEV_E_SYSTEM);
}

static void a_step_higher_than_a_page_is_refused(void **state)
{
    (void)state;
    char text[6001];
    memset(text, 'm', 6000);
    for (size_t i = 6; i < 6000; i += 7)
        text[i] = ' ';
    text[6000] = '\0';
    lev_card_step step = demo_brass_step[0];
    step.check = text;
    lev_card_face face = demo_face[0];
    face.step = &step;
    face.steps = 1;
    lev_card_job job = demo_job(LEV_CARD_A4);
    job.face = &face;
    job.faces = 1;
    refuse_job(&job, LEV_E_LIMIT);
}

static void views_that_are_no_job_are_refused(void **state)
{
    (void)state;
    lev_card_job job = demo_job(LEV_CARD_A4);
    job.faces = 0;
    refuse_job(&job, LEV_E_LIMIT);
    job = demo_job(LEV_CARD_A2);
    refuse_job(&job, LEV_E_USAGE);
    lev_card_face face = demo_face[0];
    face.name = "";
    job = demo_job(LEV_CARD_A4);
    job.face = &face;
    job.faces = 1;
    refuse_job(&job, LEV_E_USAGE);
}

static unsigned long be32(const unsigned char *p)
{
    return (unsigned long)p[0] << 24U | (unsigned long)p[1] << 16U |
           (unsigned long)p[2] << 8U | (unsigned long)p[3];
}

static void a_png_has_the_size_of_its_paper(void **state)
{
    (void)state;
    lev_error err = {0};
    heap_sink s = {0};
    const lev_card_labels labels = demo_labels();
    const lev_card_out to = out_to(&s, LEV_CARD_PNG);
    assert_ok(card_labels(&labels, &to, &err), &err);
    /* ISO 216: A4 is 210 x 297 mm, at 72 dpi 595.3 x 841.9; PNG: IHDR at byte 16. */
    assert_true(s.n > 24);
    assert_int_equal(be32(s.bytes + 16), 595);
    assert_int_equal(be32(s.bytes + 20), 842);
    free(s.bytes);
}

static void a_picture_of_too_many_pixels_is_refused(void **state)
{
    (void)state;
    lev_error err = {0};
    heap_sink s = {0};
    const lev_card_job job = demo_job(LEV_CARD_A4);
    lev_card_out to = out_to(&s, LEV_CARD_PNG);
    to.dpi = 600.0;
    assert_int_equal(card_job(&job, &to, &err), LEV_E_LIMIT);
    assert_one_line(&err);
    to.dpi = 5.0;
    assert_int_equal(card_job(&job, &to, &err), LEV_E_RANGE);
    free(s.bytes);
}

static void refuse_row(lev_card_chart_row row, lev_status wanted)
{
    lev_error err = {0};
    heap_sink s = {0};
    lev_card_chart chart = demo_chart(LEV_CARD_A3);
    const lev_card_chart_band band = {"bad", "none", &row, 1};
    const lev_card_out to = out_to(&s, LEV_CARD_PDF);
    chart.band = &band;
    chart.bands = 1;
    assert_int_equal(card_chart(&chart, &to, &err), wanted);
    assert_one_line(&err);
    free(s.bytes);
}

static void a_grit_without_a_size_has_no_bar(void **state)
{
    (void)state;
    refuse_row((lev_card_chart_row){"X", NAN, NAN, NAN, false}, LEV_E_USAGE);
    refuse_row((lev_card_chart_row){"X", -1.0, NAN, NAN, false}, LEV_E_RANGE);
    refuse_row((lev_card_chart_row){"X", INFINITY, NAN, NAN, false}, LEV_E_RANGE);
}

static void a_chart_of_many_grits_goes_to_further_pages(void **state)
{
    (void)state;
    enum { ROWS = 24, BANDS = 40 };
    lev_card_chart_row row[ROWS];
    lev_card_chart_band band[BANDS];
    lev_error err = {0};
    heap_sink s = {0};
    lev_card_chart chart = demo_chart(LEV_CARD_A3);
    const lev_card_out to = out_to(&s, LEV_CARD_PDF);
    for (int i = 0; i < ROWS; i++)
        row[i] =
            (lev_card_chart_row){"label", 100.0 + i, 150.0 + i, 60.0 + i, i % 2 > 0};
    for (int i = 0; i < BANDS; i++)
        band[i] = (lev_card_chart_band){"system", "method", row, ROWS};
    chart.band = band;
    chart.bands = BANDS;
    assert_ok(card_chart(&chart, &to, &err), &err);
    free(s.bytes);
}

static void a_logarithmic_axis_gives_each_decade_one_length(void **state)
{
    (void)state;
    lev_plot p = {.area = {10.0, 20.0, 300.0, 100.0}};
    p.x = (lev_card_axis){NULL, 1.0, 1000.0, true};
    p.y = (lev_card_axis){NULL, -1.0, 1.0, false};
    assert_near(lev_plot_x(&p, 1.0), 10.0, 1e-12);   /* closed form: 10 + 100 log10 x */
    assert_near(lev_plot_x(&p, 10.0), 110.0, 1e-12); /* closed form */
    assert_near(lev_plot_x(&p, 1000.0), 310.0, 1e-12); /* closed form */
    assert_near(lev_plot_y(&p, 0.0), 70.0, 1e-12);     /* middle of 20 .. 120 */
    assert_near(lev_plot_y(&p, 1.0), 20.0, 1e-12);     /* upward */
}

static void ticks_are_round_numbers(void **state)
{
    (void)state;
    double tick[LEV_PLOT_TICKS];
    const lev_card_axis log_axis = {NULL, 0.9, 110.0, true};
    const lev_card_axis flat_axis = {NULL, -0.31, 0.29, false};
    static const double decades[] = {1, 2, 5, 10, 20, 50, 100};
    static const double fifths[] = {-0.2, 0.0, 0.2};
    assert_int_equal(lev_plot_ticks(&log_axis, 0, tick), 7);
    for (int i = 0; i < 7; i++)
        assert_near(tick[i], decades[i], 1e-12);
    assert_int_equal(lev_plot_ticks(&flat_axis, 3, tick), 3);
    for (int i = 0; i < 3; i++)
        assert_near_abs(tick[i], fifths[i], 1e-12);
}

static void any_grain_is_drawn_at_a_size_that_can_be_seen(void **state)
{
    (void)state;
    for (double d50_um = 0.6; d50_um < 2500.0; d50_um *= 1.07) {
        const double drawn_mm = d50_um * lev_draw_magnification(d50_um) / 1000.0;
        assert_true(drawn_mm > 1.5 && drawn_mm < 4.5);
    }
}

static void one_magnification_serves_grains_that_are_near(void **state)
{
    (void)state;
    assert_true(card_common_magnification(demo_brass_step, 3) > 0.0);
    assert_false(card_common_magnification(demo_steel_step, 4) > 0.0);
    assert_false(card_common_magnification(demo_steel_step, 0) > 0.0);
}

static void what_has_no_direction_or_no_end_is_still_drawn(void **state)
{
    (void)state;
    lev_error err = {0};
    heap_sink s = {0};
    const lev_card_out to = out_to(&s, LEV_CARD_PDF);
    lev_card_face face = demo_face[0];
    lev_card_step step = demo_brass_step[0];
    lev_card_job job = demo_job(LEV_CARD_A4);
    face.step = &step;
    face.steps = 1;
    job.face = &face;
    job.faces = 1;
    for (int stroke = LEV_CARD_NO_STROKE; stroke <= LEV_CARD_ORBITAL; stroke++) {
        step.stroke = (lev_card_stroke)stroke;
        step.angle_deg = NAN;
        assert_ok(card_job(&job, &to, &err), &err);
    }
    static const double x[] = {0.0, 1.0, 2.0};
    static const double y[] = {-1e300, 0.5, 1e300};
    const lev_card_series line = {"far", x, y, 3, false};
    const lev_card_figure figure = {
        .y = {"y", 0.0, 1.0, false}, .series = &line, .n = 1};
    const lev_card_report report = {
        .head = {"Report", "2026-01-31", "levigate 0.1.0", LEV_CARD_A4},
        .figure = &figure,
        .figures = 1};
    assert_ok(card_report(&report, &to, &err), &err);
    free(s.bytes);
}

static void a_report_draws_lines_with_gaps_and_pictures(void **state)
{
    (void)state;
    lev_error err = {0};
    heap_sink s = {0};
    static const double x[] = {0.0, 1.0, 2.0, 3.0};
    static const double y[] = {1.0, NAN, 3.0, 2.0};
    static const unsigned char grey[] = {0, 80, 160, 255};
    const lev_card_series series[] = {{"left", x, y, 4, false},
                                      {"right", x, x, 4, true}};
    const lev_card_figure figure[] = {
        {.title = "Profile",
         .x = {"mm", 0, 0, false},
         .y = {UM, 0, 0, false},
         .series = series,
         .n = 2},
        {.title = "Map",
         .x = {"mm", 0, 2, false},
         .y = {"mm", 0, 2, false},
         .image = {grey, 2, 2, 2, 1}},
    };
    const char *const line[] = {"Ra 0.4 " UM};
    const lev_card_report report = {
        .head = {"Report", "2026-01-31", "levigate 0.1.0", LEV_CARD_A4},
        .text = {line, 1},
        .figure = figure,
        .figures = 2};
    const lev_card_out to = out_to(&s, LEV_CARD_PDF);
    assert_ok(card_report(&report, &to, &err), &err);
    assert_true(s.n > 2000);
    free(s.bytes);
}

static void a_picture_with_a_wrong_shape_is_refused(void **state)
{
    (void)state;
    lev_error err = {0};
    heap_sink s = {0};
    static const unsigned char grey[4] = {0};
    lev_card_figure figure = {.image = {grey, 4, 1, 2, 1}}; /* stride under width */
    const lev_card_report report = {
        .head = {"Report", "2026-01-31", "levigate 0.1.0", LEV_CARD_A4},
        .figure = &figure,
        .figures = 1};
    const lev_card_out to = out_to(&s, LEV_CARD_PDF);
    assert_int_equal(card_report(&report, &to, &err), LEV_E_USAGE);
    assert_one_line(&err);
    free(s.bytes);
}

#ifdef LEV_MEM_TEST
/* Every allocation of ours in turn; the drawing libraries' own are theirs. */
static void a_failed_allocation_is_told_and_leaks_nothing(void **state)
{
    (void)state;
    lev_card_face face = demo_face[0];
    lev_card_job job = demo_job(LEV_CARD_A4);
    job.face = &face;
    job.faces = 1;
    const lev_card_chart chart = demo_chart(LEV_CARD_A3);
    const long before = lev_mem_test_alive();
    for (long nth = 1; nth <= 200; nth++) {
        lev_error err = {0};
        heap_sink s = {0};
        const lev_card_out to = out_to(&s, LEV_CARD_SVG);
        lev_mem_test_fail(nth);
        const lev_status st =
            nth % 2 == 0 ? card_job(&job, &to, &err) : card_chart(&chart, &to, &err);
        const long done = lev_mem_test_count();
        lev_mem_test_fail(0);
        free(s.bytes);
        assert_int_equal(lev_mem_test_alive(), before);
        assert_int_equal(st, done >= nth ? LEV_E_MEMORY : LEV_OK);
        if (done < nth && nth > 20)
            break;
    }
}
#endif

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_same_view_gives_the_same_pdf),
        cmocka_unit_test(every_paper_takes_every_demo_face),
        cmocka_unit_test(a_sink_that_refuses_is_an_io_failure),
        cmocka_unit_test(a_date_that_is_none_is_refused),
        cmocka_unit_test(text_that_is_not_utf8_is_refused),
        cmocka_unit_test(a_letter_that_no_font_has_is_refused),
        cmocka_unit_test(a_step_higher_than_a_page_is_refused),
        cmocka_unit_test(views_that_are_no_job_are_refused),
        cmocka_unit_test(a_png_has_the_size_of_its_paper),
        cmocka_unit_test(a_picture_of_too_many_pixels_is_refused),
        cmocka_unit_test(a_grit_without_a_size_has_no_bar),
        cmocka_unit_test(a_chart_of_many_grits_goes_to_further_pages),
        cmocka_unit_test(a_logarithmic_axis_gives_each_decade_one_length),
        cmocka_unit_test(ticks_are_round_numbers),
        cmocka_unit_test(any_grain_is_drawn_at_a_size_that_can_be_seen),
        cmocka_unit_test(one_magnification_serves_grains_that_are_near),
        cmocka_unit_test(what_has_no_direction_or_no_end_is_still_drawn),
        cmocka_unit_test(a_report_draws_lines_with_gaps_and_pictures),
        cmocka_unit_test(a_picture_with_a_wrong_shape_is_refused),
#ifdef LEV_MEM_TEST
        cmocka_unit_test(a_failed_allocation_is_told_and_leaks_nothing),
#endif
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
