/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Numbers as people act on them: minutes to 1, 2, 5, 10, 15; paper to a quarter sheet;
 * depth to one or two digits with a likeness. JSON keeps the whole figures. */
#ifndef APP_WORDS_H
#define APP_WORDS_H

#include <stdbool.h>
#include <stdint.h>

#include "levigate/spread.h"
#include "text.h"

typedef enum lev_units { LEV_UNITS_METRIC, LEV_UNITS_INCH } lev_units;

/** "40 s", "2 min", "1 h 10 min"; rounded. */
void lev_words_time(lev_text *t, double time_s);
/** "usually 4 to 8 min, 1 in 10 takes over 9 min". */
void lev_words_time_spread(lev_text *t, lev_spread time_s);
/** "8 um" or "0.0003 in", one or two digits. */
void lev_words_depth(lev_text *t, double depth_um, lev_units units);
/** The same with a likeness: "60 um, about a hair". */
void lev_words_depth_like(lev_text *t, double depth_um, lev_units units);
/** Size of a grain or a roughness, two or three digits: "58.5 um", "2300 uin". */
void lev_words_size(lev_text *t, double size_um, lev_units units);
/** A distance to two digits: "40 mm", "2 m", "1.6 in", "6.6 ft". */
void lev_words_length(lev_text *t, double mm, lev_units units);
/** "a quarter sheet", "1 1/2 sheets"; the word is sheet, disc, belt, ... */
void lev_words_sheets(lev_text *t, double sheets, const char *word);
/** "12.30 EUR", by the currency's minor unit. */
void lev_words_money(lev_text *t, double minor, const char *currency);
/** "100 x 50 mm", "4 x 2 in"; one figure with "cm2" when only an area is known. */
void lev_words_area(lev_text *t, double area_mm2, double length_mm, double width_mm,
                    lev_units units);
/** Seconds rounded as lev_words_time shows them. */
double lev_round_time_s(double time_s);
/** x to n significant digits. */
double lev_round_digits(double x, int n);

#endif
