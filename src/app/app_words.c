/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Numbers in words. See app_words.h. */
#include "app_words.h"

#include <math.h>
#include <string.h>

#include "lev_tables.h"
#include "num.h"
#include "units.h"

double lev_round_digits(double x, int n)
{
    if (!(fabs(x) > 0.0) || !isfinite(x))
        return x;
    const double unit = pow(10.0, floor(log10(fabs(x))) + 1.0 - n);
    return round(x / unit) * unit;
}

/* The step people round a time of this length to. */
static double time_step_s(double time_s)
{
    static const struct {
        double below_s, step_s;
    } steps[] = {{20.0, 5.0},     {90.0, 10.0},    {180.0, 30.0},    {600.0, 60.0},
                 {1200.0, 120.0}, {3600.0, 300.0}, {10800.0, 600.0}, {36000.0, 1800.0}};
    for (size_t i = 0; i < sizeof steps / sizeof *steps; i++)
        if (time_s < steps[i].below_s)
            return steps[i].step_s;
    return 3600.0;
}

double lev_round_time_s(double time_s)
{
    const double step = time_step_s(time_s);
    const double rounded = round(time_s / step) * step;
    return rounded > 0.0 || !(time_s > 0.0) ? rounded : step;
}

void lev_words_time(lev_text *t, double time_s)
{
    const double s = lev_round_time_s(time_s);
    if (s < 90.0) {
        lev_text_print(t, "%.0f s", s);
    } else if (s < LEV_S_PER_H) {
        lev_text_number(t, s / LEV_S_PER_MIN, 3);
        lev_text_add(t, " min");
    } else {
        const double h = floor(s / LEV_S_PER_H);
        const double min = round((s - h * LEV_S_PER_H) / LEV_S_PER_MIN);
        lev_text_print(t, "%.0f h", h);
        if (min >= 1.0)
            lev_text_print(t, " %.0f min", min);
    }
}

/* Two times of one sentence: the unit once when it is the same. */
static void time_range(lev_text *t, double low_s, double high_s)
{
    lev_text low = {0}, high = {0};
    lev_words_time(&low, low_s);
    lev_words_time(&high, high_s);
    const char *a = lev_text_get(&low), *b = lev_text_get(&high);
    const char *ua = strrchr(a, ' '), *ub = strrchr(b, ' ');
    const bool simple = ua != NULL && ub != NULL && strchr(a, 'h') == NULL &&
                        strchr(b, 'h') == NULL && strcmp(ua, ub) == 0;
    if (strcmp(a, b) == 0)
        lev_text_print(t, "about %s", a);
    else if (simple)
        lev_text_print(t, "usually %.*s to %s", (int)(ua - a), a, b);
    else
        lev_text_print(t, "usually %s to %s", a, b);
    lev_text_release(&low);
    lev_text_release(&high);
}

void lev_words_time_spread(lev_text *t, lev_spread time_s)
{
    const double z90 = 1.2815515655446004, z80 = 0.8416212335729143;
    if (!(time_s.p50 > 0.0)) {
        lev_text_add(t, "no time");
        return;
    }
    const double lnsd =
        time_s.p10 > 0.0 ? log(time_s.p90 / time_s.p10) / (2.0 * z90) : 0.0;
    const double low = time_s.p50 * exp(-z80 * lnsd),
                 high = time_s.p50 * exp(z80 * lnsd);
    time_range(t, low, high);
    if (lev_round_time_s(time_s.p90) > lev_round_time_s(high)) {
        lev_text_add(t, ", 1 in 10 takes over ");
        lev_words_time(t, time_s.p90);
    }
}

static void inches(lev_text *t, double um)
{
    lev_text_number(t, lev_round_digits(um / LEV_UM_PER_INCH, 2), 2);
    lev_text_add(t, " in");
}

void lev_words_depth(lev_text *t, double depth_um, lev_units units)
{
    if (units == LEV_UNITS_INCH) {
        inches(t, depth_um);
    } else if (depth_um >= LEV_UM_PER_MM) {
        lev_text_number(t, lev_round_digits(depth_um / LEV_UM_PER_MM, 2), 3);
        lev_text_add(t, " mm");
    } else {
        const int digits = depth_um >= 100.0 ? 2 : depth_um >= 10.0 ? 2 : 1;
        lev_text_number(t, lev_round_digits(depth_um, digits), 6);
        lev_text_add(t, " um");
    }
}

/* The likeness whose middle is nearest by ratio, NULL when none is within 1.6 times. */
static const lev_row_likeness *likeness_of(double depth_um)
{
    const lev_row_likeness *best = NULL;
    double least = log(1.6);
    for (int i = 0; i < LEV_TAB_LIKENESS_N; i++) {
        const lev_row_likeness *row = &lev_tab_likeness[i];
        const double middle = sqrt(row->low_um * row->high_um);
        const double away = fabs(log(depth_um / middle));
        if (away < least) {
            least = away;
            best = row;
        }
    }
    return best;
}

void lev_words_depth_like(lev_text *t, double depth_um, lev_units units)
{
    lev_words_depth(t, depth_um, units);
    const lev_row_likeness *like = depth_um > 0.0 ? likeness_of(depth_um) : NULL;
    if (like != NULL)
        lev_text_print(t, ", about %s", like->words);
}

void lev_words_size(lev_text *t, double size_um, lev_units units)
{
    if (units == LEV_UNITS_INCH && size_um < 25.0) {
        lev_text_number(t, lev_round_digits(size_um / LEV_UM_PER_UIN, 2), 6);
        lev_text_add(t, " uin");
    } else if (units == LEV_UNITS_INCH) {
        inches(t, size_um);
    } else {
        lev_text_number(t, lev_round_digits(size_um, size_um >= 1.0 ? 3 : 2), 6);
        lev_text_add(t, " um");
    }
}

void lev_words_length(lev_text *t, double mm, lev_units units)
{
    const bool inch = units == LEV_UNITS_INCH;
    const double small = inch ? mm / LEV_MM_PER_INCH : mm;
    const double large = inch ? small / 12.0 : mm / 1000.0;
    lev_text_number(t, lev_round_digits(large >= 1.0 ? large : small, 2), 4);
    lev_text_add(t, large >= 1.0 ? (inch ? " ft" : " m") : inch ? " in" : " mm");
}

void lev_words_sheets(lev_text *t, double sheets, const char *word)
{
    static const char *const part[] = {"", "1/4", "1/2", "3/4"};
    const double quarters = fmax(1.0, ceil(sheets * 4.0 - 1e-9));
    const double whole = floor(quarters / 4.0);
    const int rest = (int)(quarters - 4.0 * whole);
    if (!(sheets > 0.0))
        lev_text_print(t, "no %s", word);
    else if (whole < 1.0)
        lev_text_print(t, "%s %s", part[rest], word);
    else if (rest == 0)
        lev_text_print(t, "%.0f %s%s", whole, word, whole > 1.0 ? "s" : "");
    else
        lev_text_print(t, "%.0f %s %ss", whole, part[rest], word);
}

void lev_words_money(lev_text *t, double minor, const char *currency)
{
    int places = 2;
    for (int i = 0; i < LEV_TAB_CURRENCY_N; i++)
        if (strcmp(lev_tab_currency[i].id, currency) == 0)
            places = lev_tab_currency[i].exponent;
    lev_text_print(t, "%.*f %s", places, minor / pow(10.0, places), currency);
}

void lev_words_area(lev_text *t, double area_mm2, double length_mm, double width_mm,
                    lev_units units)
{
    const bool inch = units == LEV_UNITS_INCH;
    const double per_mm = inch ? 1.0 / LEV_MM_PER_INCH : 1.0;
    if (isfinite(length_mm) && isfinite(width_mm)) {
        lev_text_number(t, lev_round_digits(length_mm * per_mm, 3), 4);
        lev_text_add(t, " x ");
        lev_text_number(t, lev_round_digits(width_mm * per_mm, 3), 4);
        lev_text_add(t, inch ? " in" : " mm");
    } else if (inch) {
        lev_text_number(t, lev_round_digits(area_mm2 * per_mm * per_mm, 2), 6);
        lev_text_add(t, " sq in");
    } else {
        lev_text_number(t, lev_round_digits(area_mm2 / 100.0, 2), 6);
        lev_text_add(t, " cm2");
    }
}
