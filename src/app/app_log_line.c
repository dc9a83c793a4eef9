/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Reading one line of the log. See app_log_line.h. */
#include "app_log_scan.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "app_shop.h"
#include "bounds.h"
#include "num.h"
#include "text.h"
#include "units.h"

static lev_status set_once(lev_log_reader *r, double *field, double value,
                           const char *what)
{
    if (!isnan(*field))
        return lev_fail(r->err, LEV_E_USAGE, "%s is told twice in one line", what);
    *field = value;
    return LEV_OK;
}

/* ---- times ---- */

static lev_status keep_time(lev_log_reader *r, double time_s)
{
    if (!(time_s > 0.0))
        return lev_fail(r->err, LEV_E_RANGE,
                        "no minutes at all cannot be; leave the time out when nobody "
                        "looked at the clock");
    if (!(time_s <= lev_entry_figure("longest_stint")))
        return lev_fail(r->err, LEV_E_RANGE, "%.4g h in one entry is more than a week",
                        time_s / LEV_S_PER_H);
    r->line->about = r->about;
    r->about = false;
    return set_once(r, &r->line->work_s, time_s, "the time");
}

static lev_status read_pause(lev_log_reader *r)
{
    double number = 0.0, time_s = 0.0;
    const char *q = r->p;
    if (!lev_scan_number(r, &q, &number) || !lev_scan_time(r, &q, number, &time_s))
        return lev_fail(r->err, LEV_E_USAGE, "pause wants a time, such as pause 10m");
    r->p = q;
    r->line->pause_s = isnan(r->line->pause_s) ? time_s : r->line->pause_s + time_s;
    return LEV_OK;
}

/* ---- paper ---- */

static const char PIECES[] =
    "sheet;sheets;sh;disc;discs;belt;belts;pad;pads;piece;pieces;pinch;pinches;stick;"
    "sticks;stone;stones;strip;strips";

/* Behind a first number: "/4", " 1/2". */
static void take_fraction(lev_log_reader *r, const char **p, double *number)
{
    double over = 0.0, under = 0.0;
    const char *q = *p;
    if (*q == '/' && lev_scan_digit(q[1])) {
        q++;
        if (lev_scan_number(r, &q, &under) && under > 0.0) {
            *number /= under;
            *p = q;
        }
    } else if (lev_scan_blank(*q) && lev_scan_number(r, &q, &over) && *q == '/') {
        q++;
        if (lev_scan_number(r, &q, &under) && under > 0.0 && over < under) {
            *number += over / under;
            *p = q;
        }
    }
}

static lev_status read_part(lev_log_reader *r, double part)
{
    (void)lev_scan_unit(&r->p, "of");
    (void)lev_scan_unit(&r->p, "a");
    if (!lev_scan_unit(&r->p, PIECES))
        return lev_fail(r->err, LEV_E_USAGE, "half or a quarter of what: a sheet?");
    return set_once(r, &r->line->sheets, part, "the paper");
}

/* ---- weight, depth, readings ---- */

static lev_status keep_weights(lev_log_reader *r, double before_g, double after_g)
{
    lev_status st = LEV_OK;
    if (!(before_g > 0.0) || !(after_g > 0.0))
        LEV_TRY(lev_fail(r->err, LEV_E_RANGE,
                         "a piece weighs more than nothing, not %g g",
                         before_g > 0.0 ? after_g : before_g));
    if (after_g > before_g)
        LEV_TRY(lev_fail(r->err, LEV_E_RANGE,
                         "%g g before and %g g after: rubbing takes weight off; are "
                         "they swapped",
                         before_g, after_g));
    LEV_TRY(set_once(r, &r->line->before_g, before_g, "the weight"));
    r->line->after_g = after_g;
    LEV_TRY(set_once(r, &r->line->lost_g, before_g - after_g, "the weight"));
out:
    return st;
}

static const char GRAMS[] = "g;gram;grams;gramme;grammes";

/* "12.3g>11.9g" behind its first number; false when it is no weight. */
static bool take_weights(lev_log_reader *r, double before_g, lev_status *st)
{
    const char *q = r->p;
    double after_g = 0.0;
    const bool first = lev_scan_unit(&q, GRAMS);
    const bool parted = lev_scan_sign(&q, "->") || lev_scan_sign(&q, ">") ||
                        lev_scan_sign(&q, "\xE2\x86\x92") || lev_scan_unit(&q, "to") ||
                        lev_scan_sign(&q, "-");
    const char *start = q;
    if ((!first && !parted) || !lev_scan_number(r, &q, &after_g))
        return false;
    r->line->weight_step_g = lev_scan_last_place(start, q);
    const bool second = lev_scan_unit(&q, GRAMS);
    if (!second && !(first && parted))
        return false;
    r->p = q;
    *st = keep_weights(r, before_g, after_g);
    return true;
}

static lev_status read_reading(lev_log_reader *r, const char *name, double *field)
{
    double number = 0.0;
    const char *q = r->p;
    (void)lev_scan_sign(&q, "=");
    if (!lev_scan_number(r, &q, &number))
        return lev_fail(r->err, LEV_E_USAGE, "%s wants a number, such as %s 0.4", name,
                        name);
    number = lev_scan_um(&q, number);
    if (!(number > 0.0))
        return lev_fail(r->err, LEV_E_RANGE, "%s %g um: a reading is more than 0", name,
                        number);
    r->p = q;
    return set_once(r, field, number, name);
}

static lev_status keep_gloss(lev_log_reader *r, double gu)
{
    const double most = lev_entry_figure("gloss_most");
    if (!(gu <= most))
        return lev_fail(r->err, LEV_E_RANGE,
                        "gloss %g: a reading lies between 0 and %g gloss units", gu,
                        most);
    return set_once(r, &r->line->gloss_gu, gu, "gloss");
}

static lev_status read_gloss(lev_log_reader *r)
{
    double number = 0.0;
    const char *q = r->p;
    (void)lev_scan_sign(&q, "=");
    if (!lev_scan_number(r, &q, &number))
        return lev_fail(r->err, LEV_E_USAGE, "gloss wants a number, such as gloss 45");
    (void)lev_scan_unit(&q, "gu");
    r->p = q;
    return keep_gloss(r, number);
}

static lev_status read_off(lev_log_reader *r)
{
    double number = 0.0;
    const char *q = r->p;
    if (!lev_scan_number(r, &q, &number))
        return lev_fail(r->err, LEV_E_USAGE,
                        "off wants the depth taken off, such as off 12um");
    number = lev_scan_um(&q, number);
    r->p = q;
    return set_once(r, &r->line->off_um, number, "the depth taken off");
}

static lev_status read_lost(lev_log_reader *r)
{
    double number = 0.0;
    const char *q = r->p;
    while (lev_scan_blank(*q))
        q++;
    const char *start = q;
    const bool good = lev_scan_number(r, &q, &number);
    r->line->weight_step_g = lev_scan_last_place(start, q);
    if (!good || !lev_scan_unit(&q, GRAMS))
        return lev_fail(r->err, LEV_E_USAGE, "lost wants grams, such as lost 0.4g");
    r->p = q;
    return set_once(r, &r->line->lost_g, number, "the weight");
}

/* ---- one piece of the line ---- */

static const char *const VERDICTS[] = {"next-grit", "keep-at-it", "cannot-tell"};

/* With hyphens, or blanks in their place. */
static bool take_verdict(lev_log_reader *r, const char **out)
{
    for (size_t i = 0; i < sizeof VERDICTS / sizeof *VERDICTS; i++) {
        const char *v = VERDICTS[i], *q = r->p;
        while (*v != '\0' &&
               ((*q | 0x20) == *v || (*v == '-' && (*q == '-' || *q == ' '))))
            v++, q++;
        if (*v == '\0' && lev_scan_length(q) == 0) {
            r->p = q;
            *out = VERDICTS[i];
            return true;
        }
    }
    return false;
}

static lev_status not_understood(lev_log_reader *r)
{
    static const char *const known[] = {"next-grit", "keep-at-it", "cannot-tell",
                                        "pause",     "sheets",     "gloss",
                                        "lost",      "sure",       "about"};
    lev_scan_name w;
    size_t best = 0;
    lev_scan_word(r->p, w);
    for (size_t i = 1; i < sizeof known / sizeof *known; i++)
        if (lev_text_distance(w, known[i]) < lev_text_distance(w, known[best]))
            best = i;
    const bool near = lev_text_distance(w, known[best]) <= 4;
    return lev_fail(r->err, LEV_E_USAGE,
                    "\"%s\" is not understood%s%s; words of your own stand behind a ;",
                    w, near ? "; did you mean " : "", near ? known[best] : "");
}

/* The plain verbs of a line. */
static lev_status read_word(lev_log_reader *r)
{
    static const struct {
        const char *name;
        lev_status (*read)(lev_log_reader *r);
    } readers[] = {{"pause", read_pause},
                   {"break", read_pause},
                   {"gloss", read_gloss},
                   {"off", read_off},
                   {"lost", read_lost}};
    const struct {
        const char *name;
        double *field;
    } readings[] = {{"Ra", &r->line->ra_um},
                    {"Rq", &r->line->rq_um},
                    {"Rz", &r->line->rz_um},
                    {"Rt", &r->line->rt_um}};
    const char *verdict = "";
    if (take_verdict(r, &verdict)) {
        if (r->line->verdict[0] != '\0')
            return lev_fail(r->err, LEV_E_USAGE, "two verdicts stand in one line");
        (void)snprintf(r->line->verdict, sizeof r->line->verdict, "%s", verdict);
        return LEV_OK;
    }
    for (size_t i = 0; i < sizeof readings / sizeof *readings; i++)
        if (lev_scan_unit(&r->p, readings[i].name))
            return read_reading(r, readings[i].name, readings[i].field);
    for (size_t i = 0; i < sizeof readers / sizeof *readers; i++)
        if (lev_scan_unit(&r->p, readers[i].name))
            return readers[i].read(r);
    if (lev_scan_unit(&r->p, "half"))
        return read_part(r, 0.5);
    if (lev_scan_unit(&r->p, "quarter"))
        return read_part(r, 0.25);
    if (lev_scan_unit(&r->p, "about;ca")) {
        r->about = true;
        return LEV_OK;
    }
    if (lev_scan_unit(&r->p, "sure")) {
        r->line->sure = true;
        return LEV_OK;
    }
    return not_understood(r);
}

static lev_status bare_number(lev_log_reader *r, double number)
{
    return lev_fail(r->err, LEV_E_USAGE,
                    "%g of what? Write %gm for minutes, %g sheets, %gg>... for weight, "
                    "Ra %g for a reading",
                    number, number, number, number, number);
}

static lev_status read_number(lev_log_reader *r)
{
    double number = 0.0, time_s = 0.0;
    lev_status st = LEV_OK;
    if (lev_scan_clock(&r->p, &time_s)) {
        r->span = true;
        return keep_time(r, time_s);
    }
    const char *q = r->p;
    if (!lev_scan_number(r, &q, &number))
        return not_understood(r);
    if (lev_scan_time(r, &q, number, &time_s)) {
        r->p = q;
        return keep_time(r, time_s);
    }
    if (lev_scan_unit(&q, "gu")) {
        r->p = q;
        return keep_gloss(r, number);
    }
    r->p = q;
    if (take_weights(r, number, &st))
        return st;
    if (lev_scan_unit(&q, GRAMS))
        return lev_fail(r->err, LEV_E_USAGE,
                        "one weight says nothing; write both, such as 12.3g>11.9g");
    take_fraction(r, &q, &number);
    if (!lev_scan_unit(&q, PIECES))
        return bare_number(r, number);
    r->p = q;
    return set_once(r, &r->line->sheets, number, "the paper");
}

/* ---- who, face, step ---- */

static bool whole_number(const char *w, int *out)
{
    const char *p = w + (w[0] == '#');
    const size_t n = strlen(p);
    if (n == 0 || n > 3 || strspn(p, "0123456789") != n)
        return false;
    int number = 0;
    for (; *p != '\0'; p++)
        number = 10 * number + (*p - '0');
    *out = number;
    return true;
}

static lev_status no_head(lev_log_reader *r)
{
    return lev_fail(r->err, LEV_E_USAGE,
                    "a line begins with who, the face and the number of the step, such "
                    "as: RB case-side 3 ~10m next-grit");
}

static lev_status read_head(lev_log_reader *r)
{
    lev_scan_name name[3];
    int n = 0;
    for (;;) {
        lev_scan_skip(r);
        const size_t length = lev_scan_length(r->p);
        if (length == 0 || length >= sizeof(lev_scan_name))
            return no_head(r);
        lev_scan_word(r->p, name[n]);
        r->p += length;
        if (n > 0 && whole_number(name[n], &r->line->number))
            break;
        if (n == 1 && lev_text_same(name[n], "step"))
            continue;
        if (n == 2 && lev_text_same(name[n], "step"))
            continue;
        if (++n == 3)
            return no_head(r);
    }
    if (r->line->number < 1)
        return lev_fail(r->err, LEV_E_USAGE, "steps are numbered from 1");
    memcpy(r->line->face, name[n - 1], sizeof(lev_scan_name));
    if (n == 2)
        memcpy(r->line->who, name[0], sizeof(lev_scan_name));
    return LEV_OK;
}

/* ---- what cannot be ---- */

static lev_status check_readings(const lev_log_line *l, lev_error *err)
{
    if (l->rt_um < l->rz_um)
        return lev_fail(err, LEV_E_RANGE,
                        "Rt %g below Rz %g cannot be: Rt is the largest height, Rz a "
                        "mean of them; are they swapped",
                        l->rt_um, l->rz_um);
    if (l->rq_um < l->ra_um)
        return lev_fail(
            err, LEV_E_RANGE,
            "Rq %g below Ra %g cannot be: a root mean square is never below "
            "the mean; are they swapped",
            l->rq_um, l->ra_um);
    if (l->rz_um < 2.0 * l->ra_um)
        return lev_fail(
            err, LEV_E_RANGE,
            "Rz %g below twice Ra %g cannot be: half the height is the most "
            "a mean deviation can come to",
            l->rz_um, l->ra_um);
    return LEV_OK;
}

static lev_status finish(lev_log_reader *r)
{
    lev_log_line *l = r->line;
    if (r->about)
        return lev_fail(r->err, LEV_E_USAGE, "~ stands before a time, such as ~10m");
    if (r->span && l->pause_s > 0.0) {
        l->work_s -= l->pause_s;
        if (!(l->work_s > 0.0))
            return lev_fail(r->err, LEV_E_RANGE,
                            "the pause is as long as the whole time; no work is left");
    }
    if (isnan(l->work_s) && isnan(l->sheets) && isnan(l->lost_g) && isnan(l->off_um) &&
        isnan(l->ra_um) && isnan(l->rq_um) && isnan(l->rz_um) && isnan(l->rt_um) &&
        isnan(l->gloss_gu) && l->verdict[0] == '\0' && l->words[0] == '\0')
        return lev_fail(r->err, LEV_E_USAGE,
                        "the line says nothing yet: add a time (~10m), paper (1/2 "
                        "sheet), a reading (Ra 0.4) or a verdict (next-grit)");
    return check_readings(l, r->err);
}

static lev_status read_rest(lev_log_reader *r)
{
    lev_status st = LEV_OK;
    for (lev_scan_skip(r); st >= 0 && *r->p != '\0'; lev_scan_skip(r)) {
        if (*r->p == ';') {
            r->p++;
            lev_scan_skip(r);
            if (strlen(r->p) >= LEV_LOG_WORDS)
                return lev_fail(r->err, LEV_E_LIMIT,
                                "words of your own may be %d bytes long",
                                LEV_LOG_WORDS - 1);
            (void)snprintf(r->line->words, LEV_LOG_WORDS, "%s", r->p);
            break;
        }
        if (*r->p == '~') {
            r->about = true;
            r->p++;
        } else if (lev_scan_digit(*r->p) || *r->p == '.') {
            st = read_number(r);
        } else {
            st = read_word(r);
        }
        if (r->huge)
            return lev_fail(
                r->err, LEV_E_RANGE,
                "a number of the line is over a million; nothing at a bench "
                "is");
        if (r->comma)
            return lev_fail(r->err, LEV_E_USAGE,
                            "a number here has a decimal point, not a comma");
    }
    return st;
}

lev_status lev_log_line_read(const char *text, bool headed, bool comma_ok,
                             lev_log_line *out, lev_error *err)
{
    lev_status st = LEV_OK;
    lev_log_line line = {.work_s = NAN,
                         .pause_s = NAN,
                         .sheets = NAN,
                         .before_g = NAN,
                         .after_g = NAN,
                         .off_um = NAN,
                         .lost_g = NAN,
                         .ra_um = NAN,
                         .rq_um = NAN,
                         .rz_um = NAN,
                         .rt_um = NAN,
                         .gloss_gu = NAN};
    lev_log_reader r = {.p = text, .comma_ok = comma_ok, .line = &line, .err = err};
    const size_t n = strlen(text);
    if (n > LEV_LIMIT_LINE_BYTES)
        LEV_TRY(lev_fail(err, LEV_E_LIMIT, "the line is %zu bytes long, more than %d",
                         n, LEV_LIMIT_LINE_BYTES));
    if (!lev_text_is_utf8(text, n))
        LEV_TRY(lev_fail(err, LEV_E_FORMAT, "the line is no text"));
    if (!headed)
        LEV_TRY(read_head(&r));
    LEV_TRY(read_rest(&r));
    LEV_TRY(finish(&r));
    *out = line;
out:
    return st;
}
