/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Words, numbers, units and times of a line of the log. See app_log_scan.h. */
#include "app_log_scan.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "num.h"
#include "text.h"
#include "units.h"

bool lev_scan_blank(char c)
{
    return c == ' ' || c == '\t' || c == '\n' || c == '\r';
}

bool lev_scan_digit(char c)
{
    return c >= '0' && c <= '9';
}

static bool is_letter(char c)
{
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (unsigned char)c >= 0x80;
}

void lev_scan_skip(lev_log_reader *r)
{
    while (lev_scan_blank(*r->p) ||
           (*r->p == ',' && (lev_scan_blank(r->p[1]) || r->p[1] == '\0')))
        r->p++;
}

/* Up to the next blank, comma before a blank, or semicolon. */
size_t lev_scan_length(const char *p)
{
    size_t n = 0;
    while (p[n] != '\0' && !lev_scan_blank(p[n]) && p[n] != ';' &&
           !(p[n] == ',' && (lev_scan_blank(p[n + 1]) || p[n + 1] == '\0')))
        n++;
    return n;
}

void lev_scan_word(const char *p, lev_scan_name out)
{
    (void)snprintf(out, sizeof(lev_scan_name), "%.*s", (int)lev_scan_length(p), p);
}

/* ---- words ---- */

/* Takes the next run of letters when it stands in the list; blanks before it may be
 * skipped. */
bool lev_scan_unit(const char **p, const char *list)
{
    const char *q = *p;
    char name[16];
    while (lev_scan_blank(*q))
        q++;
    size_t n = 0;
    while (is_letter(q[n]))
        n++;
    if (n == 0 || n >= sizeof name)
        return false;
    memcpy(name, q, n);
    name[n] = '\0';
    if (!lev_text_in_list(name, list))
        return false;
    *p = q + n;
    return true;
}

bool lev_scan_sign(const char **p, const char *sign)
{
    const char *q = *p;
    while (lev_scan_blank(*q))
        q++;
    const size_t n = strlen(sign);
    if (strncmp(q, sign, n) != 0)
        return false;
    *p = q + n;
    return true;
}

bool lev_scan_number(lev_log_reader *r, const char **p, double *out)
{
    const char *q = *p, *end = NULL;
    while (lev_scan_blank(*q))
        q++;
    if (!lev_scan_digit(*q) && *q != '.')
        return false;
    *out = lev_num_read(q, r->comma_ok, &end);
    if (end == q)
        return false;
    r->huge = r->huge || !(*out <= 1e6); /* grams, minutes, micrometres: none is more */
    r->comma = r->comma || (*end == ',' && lev_scan_digit(end[1]));
    *p = end;
    return true;
}

static const char HOURS[] = "h;hr;hrs;hour;hours";
static const char MINUTES[] = "m;min;mins;minute;minutes";
static const char SECONDS[] = "s;sec;secs;second;seconds";

/* The unit behind a number, and minutes behind hours. */
bool lev_scan_time(lev_log_reader *r, const char **p, double number, double *time_s)
{
    double more = 0.0;
    const char *q = *p;
    if (lev_scan_unit(p, MINUTES)) {
        *time_s = number * LEV_S_PER_MIN;
        return true;
    }
    if (lev_scan_unit(p, SECONDS)) {
        *time_s = number;
        return true;
    }
    if (!lev_scan_unit(p, HOURS))
        return false;
    *time_s = number * LEV_S_PER_H;
    q = *p;
    const bool close = lev_scan_digit(*q);
    if (lev_scan_number(r, &q, &more) && (lev_scan_unit(&q, MINUTES) || close)) {
        *time_s += more * LEV_S_PER_MIN;
        *p = q;
    }
    return true;
}

/* "9:10-9:45" */
bool lev_scan_clock(const char **p, double *time_s)
{
    int h0 = 0, m0 = 0, h1 = 0, m1 = 0, n = 0;
    if (sscanf(*p, "%2d:%2d-%2d:%2d%n", &h0, &m0, &h1, &m1, &n) != 4 || n == 0 ||
        h0 > 23 || h1 > 23 || m0 > 59 || m1 > 59 || lev_scan_digit((*p)[n]))
        return false;
    double minutes = 60.0 * (h1 - h0) + (m1 - m0);
    if (minutes < 0.0)
        minutes += 24.0 * 60.0; /* past midnight */
    *time_s = minutes * LEV_S_PER_MIN;
    *p += n;
    return true;
}

/* Worth of the last digit of a number as written: 0.1 for "11.9". */
double lev_scan_last_place(const char *from, const char *to)
{
    double step = 1.0;
    bool behind = false;
    for (; from < to; from++) {
        if (behind && lev_scan_digit(*from))
            step /= 10.0;
        behind = behind || *from == '.' || *from == ',';
    }
    return step;
}

/* Micrometres of a number by the unit behind it; um when there is none. */
double lev_scan_um(const char **p, double number)
{
    if (lev_scan_unit(p, "mm"))
        return number * LEV_UM_PER_MM;
    if (lev_scan_unit(p, "nm"))
        return number / LEV_UM_PER_MM;
    if (lev_scan_unit(p, "uin"))
        return number * LEV_UM_PER_UIN;
    (void)lev_scan_unit(p, "um;\xC2\xB5m;\xCE\xBCm");
    return number;
}
