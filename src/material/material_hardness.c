/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Hardness in the words of the bench. */
#include "levigate/material.h"

#include <math.h>
#include <string.h>

#include "lev_tables.h"
#include "levigate/note.h"
#include "material_table.h"
#include "num.h"
#include "text.h"
#include "units.h"

static const double JANKA_MM2 = 100.0; /* section of the ball, exact by definition */

static double gpa_of_kgf_mm2(double number)
{
    return number * LEV_N_PER_KGF * LEV_PA_PER_MPA / LEV_PA_PER_GPA;
}

/* Vickers number of a Rockwell C number, linear between the rows; NAN outside. */
static double hv_of_hrc(double hrc, const lev_row_hardness_scale **row)
{
    for (int i = 0; i + 1 < LEV_TAB_HARDNESS_SCALE_N; i++) {
        const lev_row_hardness_scale *a = &lev_tab_hardness_scale[i], *b = a + 1;
        if (hrc >= a->hardness_hrc && hrc <= b->hardness_hrc) {
            const double t =
                (hrc - a->hardness_hrc) / (b->hardness_hrc - a->hardness_hrc);
            *row = a;
            return a->hardness_hv + t * (b->hardness_hv - a->hardness_hv);
        }
    }
    return NAN;
}

static lev_status from_hrc(double hrc, double low, double high, lev_mark mark,
                           lev_hardness *out, lev_error *err)
{
    const lev_row_hardness_scale *row = NULL, *spare = NULL;
    const double hv = hv_of_hrc(hrc, &row);
    if (isnan(hv))
        return lev_fail(
            err, LEV_E_RANGE, "%g HRC is off the scale; %g to %g", hrc,
            lev_tab_hardness_scale[0].hardness_hrc,
            lev_tab_hardness_scale[LEV_TAB_HARDNESS_SCALE_N - 1].hardness_hrc);
    *out = (lev_hardness){.gpa = gpa_of_kgf_mm2(hv),
                          .low_gpa = gpa_of_kgf_mm2(hv_of_hrc(low, &spare)),
                          .high_gpa = gpa_of_kgf_mm2(hv_of_hrc(high, &spare)),
                          .mark = lev_mark_weaker(row->mark, mark),
                          .source = lev_tab_source[row->source].citation};
    if (row->mark == LEV_MARK_MEMORY)
        out->notes |= LEV_NOTE_MEMORY;
    if (mark == LEV_MARK_PRACTICE)
        out->notes |= LEV_NOTE_PRACTICE;
    return LEV_OK;
}

static lev_status from_file(const char *words, lev_hardness *out, lev_error *err)
{
    char plain[LEV_MATERIAL_NAME];
    for (int i = 0; i < LEV_TAB_FILE_TEST_N; i++) {
        const lev_row_file_test *t = &lev_tab_file_test[i];
        lev_material_plain(t->word, plain);
        if (strcmp(plain, words) == 0)
            return from_hrc(0.5 * (t->low_hrc + t->high_hrc), t->low_hrc, t->high_hrc,
                            t->mark, out, err);
    }
    return lev_fail(
        err, LEV_E_FORMAT,
        "\"%s\" is no hardness; such as 60 HRC, 302 HV, 130 HB, 1010 lbf, or "
        "how a file takes: bites deep, bites with push, slides with some "
        "bite, skates",
        words);
}

static lev_status from_number(double x, const char *unit, const char *words,
                              lev_hardness *out, lev_error *err)
{
    const double janka_gpa = 1.0 / JANKA_MM2 * LEV_PA_PER_MPA / LEV_PA_PER_GPA;
    double gpa = NAN;
    if (!(x > 0.0) || !isfinite(x))
        return lev_fail(err, LEV_E_RANGE, "hardness must be above 0, not %g", x);
    if (lev_text_same(unit, "hrc"))
        return from_hrc(x, x, x, LEV_MARK_UNSET, out, err);
    if (lev_text_same(unit, "hv") || lev_text_same(unit, "hb") ||
        lev_text_same(unit, "hbw") || lev_text_same(unit, "hk"))
        gpa = gpa_of_kgf_mm2(x);
    else if (lev_text_same(unit, "lbf") || lev_text_same(unit, "lb"))
        gpa = x * LEV_N_PER_LBF * janka_gpa;
    else if (lev_text_same(unit, "n"))
        gpa = x * janka_gpa;
    else if (lev_text_same(unit, "gpa"))
        gpa = x;
    if (isnan(gpa))
        return from_file(words, out, err);
    *out = (lev_hardness){.gpa = gpa,
                          .low_gpa = gpa,
                          .high_gpa = gpa,
                          .mark = LEV_MARK_DERIVED,
                          .source = ""};
    return LEV_OK;
}

lev_status lev_material_hardness(const char *words, lev_hardness *out, lev_error *err)
{
    char plain[LEV_MATERIAL_NAME];
    const char *rest = plain;
    if (words[strspn(words, " ")] == '-')
        return lev_fail(err, LEV_E_RANGE, "hardness must be above 0, not \"%.40s\"",
                        words);
    lev_material_plain(words, plain);
    /* Scale before the number as well: HRC 60, Janka 1010 lbf. */
    static const char *const before[] = {"hrc ", "hv ", "hbw ", "hb ", "hk "};
    for (size_t i = 0; i < sizeof before / sizeof *before; i++) {
        const size_t n = strlen(before[i]);
        double x = 0.0;
        char unit[8] = "";
        if (!lev_text_begins(plain, before[i]) || !lev_num_parse(plain + n, false, &x))
            continue;
        memcpy(unit, before[i], n - 1);
        return from_number(x, unit, plain, out, err);
    }
    const char *start =
        lev_text_begins(plain, "janka ") ? plain + strlen("janka ") : plain;
    const double x = lev_num_read(start, false, &rest);
    if (rest == start)
        return from_file(plain, out, err);
    while (*rest == ' ')
        rest++;
    if (lev_text_same(rest, "lbf janka"))
        rest = "lbf";
    if (lev_text_same(rest, "n janka"))
        rest = "n";
    return from_number(x, rest, plain, out, err);
}
