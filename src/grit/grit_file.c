/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Files: a cut's name is relative to the length, so both make the marking. A file has
 * teeth at a pitch, not grains of a size. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "grit_table.h"
#include "lev_tables.h"
#include "levigate/note.h"
#include "num.h"
#include "units.h"

/* What the marking of a file says. */
typedef struct file_words {
    char cut[LEV_GRIT_KEY]; /* name or number of the cut, "" when not given */
    bool by_number;
    double length_mm; /* NAN when not given */
} file_words;

int lev_grit_file_count(void)
{
    return LEV_TAB_FILE_CUT_N;
}

bool lev_grit_is_file_list(const char *system)
{
    for (int i = 0; i < LEV_TAB_FILE_CUT_N; i++)
        if (lev_text_same(lev_tab_file_cut[i].system, system))
            return true;
    return false;
}

lev_grit lev_grit_file_at(int i)
{
    const lev_row_file_cut *r = &lev_tab_file_cut[i];
    lev_grit g = lev_grit_blank();
    char length[LEV_NUM_TEXT] = "";
    const bool numbered = lev_text_same(r->cut_name, "precision") || *r->cut_name == 0;
    if (lev_known(r->length_mm))
        lev_num_write(r->length_mm, 4, length);
    g.system = r->system;
    (void)snprintf(g.label, sizeof g.label, "%s%.20s%s%.6s%s", numbered ? "No. " : "",
                   numbered ? r->cut_no : r->cut_name, *length != '\0' ? " " : "",
                   length, *length != '\0' ? " mm" : "");
    g.method = "teeth";
    g.kind = "file";
    g.pitch_um = r->pitch_mm * LEV_UM_PER_MM;
    if (lev_known(r->pitch_fine_mm)) { /* a range over lengths: its middle */
        g.pitch_um = sqrt(r->pitch_mm * r->pitch_fine_mm) * LEV_UM_PER_MM;
        g.notes |= LEV_NOTE_RANGE_ONLY;
    }
    g.mark = r->mark;
    g.source = lev_tab_source[r->source].citation;
    g.note = r->note;
    if (r->mark == LEV_MARK_MEMORY)
        g.notes |= LEV_NOTE_MEMORY;
    return g;
}

static bool has_word(const lev_grit_tokens *t, const char *word)
{
    for (int i = 0; i < t->n; i++)
        if (strcmp(t->t[i].text, word) == 0)
            return true;
    return false;
}

static const char *cut_name(const lev_grit_tokens *t)
{
    if (has_word(t, "BASTARD"))
        return "bastard";
    if (has_word(t, "SECOND"))
        return "second cut";
    if (has_word(t, "SMOOTH"))
        return has_word(t, "DEAD")    ? "dead smooth"
               : has_word(t, "SUPER") ? "super smooth"
                                      : "smooth";
    return has_word(t, "ROUGH") && has_word(t, "FILE") ? "rough" : "";
}

static bool is_word_at(const lev_grit_tokens *t, int i, const char *word)
{
    return i >= 0 && i < t->n && strcmp(t->t[i].text, word) == 0;
}

/* Numbers of a file's marking: with a unit the length, beside "cut" the cut. */
static void take_numbers(const lev_grit_tokens *t, file_words *w)
{
    for (int i = 0; i < t->n; i++) {
        const char *unit = "", *role = "";
        if (t->t[i].type != LEV_TOKEN_NUMBER)
            continue;
        if (i + 1 < t->n)
            role = lev_grit_word_role(t->t[i + 1].text, &unit);
        if (strcmp(role, "unit") == 0 && strcmp(unit, "mm") == 0)
            w->length_mm = t->t[i].value;
        else if (strcmp(role, "unit") == 0 && strcmp(unit, "inch") == 0)
            w->length_mm = t->t[i].value * LEV_MM_PER_INCH;
        else if (w->cut[0] == '\0' &&
                 (is_word_at(t, i - 1, "CUT") || is_word_at(t, i + 1, "CUT") ||
                  is_word_at(t, i - 1, "NO"))) {
            (void)snprintf(w->cut, sizeof w->cut, "%s", t->t[i].text);
            w->by_number = true;
        } else if (!lev_known(w->length_mm) && t->t[i].value >= 50.0) {
            w->length_mm = t->t[i].value; /* lengths in mm begin there */
        }
    }
}

static bool cut_fits(const lev_row_file_cut *r, const file_words *w)
{
    if (w->by_number)
        return strcmp(r->cut_no, w->cut) == 0;
    return lev_text_same(r->cut_name, w->cut);
}

/* The nearest length of the same list, among the cuts that fit. */
static int nearest_length(const file_words *w, const char *system)
{
    int best = -1;
    double best_off = INFINITY;
    for (int i = 0; i < LEV_TAB_FILE_CUT_N; i++) {
        const lev_row_file_cut *r = &lev_tab_file_cut[i];
        if (strcmp(r->system, system) != 0 || !cut_fits(r, w))
            continue;
        const double off =
            lev_known(r->length_mm) ? fabs(log(r->length_mm / w->length_mm)) : 0.0;
        if (off < best_off) {
            best_off = off;
            best = i;
        }
    }
    return best;
}

static void add_files(const file_words *w, lev_grit_reading *out)
{
    for (int i = 0; i < LEV_TAB_FILE_CUT_N; i++) {
        if (!cut_fits(&lev_tab_file_cut[i], w))
            continue;
        if (lev_known(w->length_mm) &&
            nearest_length(w, lev_tab_file_cut[i].system) != i)
            continue;
        const lev_grit g = lev_grit_file_at(i);
        lev_grit_reading_add(out, &g);
    }
}

bool lev_grit_read_file(const lev_grit_tokens *t, lev_grit_reading *out, lev_status *st,
                        lev_error *err)
{
    file_words w = {.length_mm = NAN};
    (void)snprintf(w.cut, sizeof w.cut, "%s", cut_name(t));
    take_numbers(t, &w);
    const bool numbered = w.by_number && (has_word(t, "CUT") || has_word(t, "FILE"));
    if ((w.cut[0] == '\0' || w.by_number) && !numbered)
        return false;
    add_files(&w, out);
    *st = LEV_OK;
    if (out->n == 0)
        *st = lev_fail(err, LEV_E_UNKNOWN,
                       "no file has the cut \"%s\"; bastard, second cut, smooth, dead "
                       "smooth, or No. 00 to 8",
                       w.cut);
    else if (!lev_known(w.length_mm))
        (void)snprintf(out->warning, sizeof out->warning,
                       "a cut's name means nothing without the length of the file: "
                       "add it, as in \"bastard 200 mm\"");
    return true;
}
