/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Which cautions apply. See app_caution.h. */
#include "app_caution.h"

#include <stdlib.h>
#include <string.h>

#include "text.h"

static void add_word(const char *list[], int *n, const char *word)
{
    for (int i = 0; i < *n; i++)
        if (strcmp(list[i], word) == 0)
            return;
    if (*n < LEV_WORK_WORDS && word[0] != '\0')
        list[(*n)++] = word;
}

void lev_work_material(lev_work_words *w, const char *word)
{
    add_word(w->material, &w->materials, word);
}

void lev_work_process(lev_work_words *w, const char *word)
{
    add_word(w->process, &w->processes, word);
}

void lev_work_tool(lev_work_words *w, const char *word)
{
    add_word(w->tool, &w->tools, word);
}

void lev_work_said(lev_work_words *w, const char *text)
{
    add_word(w->said, &w->sayings, text);
}

void lev_work_drive(lev_work_words *w, const char *drive, bool wet)
{
    /* One word a column; tools of a powered drive are told apart by what they do. */
    static const struct {
        const char *drive, *process, *tool, *power, *more;
    } rows[] = {
        {"orbital", "sand", "power", "power hand-held", ""},
        {"disc", "sand", "disc", "rotating", "disc sander"},
        {"belt", "sand", "belt", "rotating", ""},
        {"wheel", "grind", "bonded wheel", "rotating", "bench grinder"},
        {"buff", "buff", "buff", "rotating", ""},
        {"lathe", "polish", "lathe", "rotating", ""},
        {"lap", "polish", "lap", "", ""},
    };
    bool powered = false;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        if (strcmp(rows[i].drive, drive) != 0)
            continue;
        lev_work_process(w, rows[i].process);
        lev_work_tool(w, rows[i].tool);
        lev_work_tool(w, rows[i].power);
        lev_work_tool(w, rows[i].more);
        powered = rows[i].power[0] != '\0';
        if (powered)
            lev_work_tool(w, "power");
    }
    if (lev_text_begins(drive, "hand")) {
        lev_work_process(w, "sand");
        lev_work_process(w, "hand work");
        lev_work_tool(w, "hand");
    }
    if (wet) {
        lev_work_process(w, "wet sand");
        if (powered)
            lev_work_tool(w, "corded power");
    }
}

void lev_work_next(lev_work_words *w, const char *next)
{
    static const struct {
        const char *next, *material, *process;
    } rows[] = {
        {"oil", "drying-oil", "wipe"},         {"wax", "solvent-finish", "wipe"},
        {"stain", "solvent-finish", "wipe"},   {"stain", "drying-oil", "wipe"},
        {"lacquer", "solvent-finish", "wipe"},
    };
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++)
        if (strcmp(rows[i].next, next) == 0) {
            lev_work_material(w, rows[i].material);
            lev_work_process(w, rows[i].process);
            lev_work_tool(w, "rag");
        }
}

void lev_work_material_id(lev_work_words *w, const char *id, const char *family)
{
    lev_work_material(w, id);
    lev_work_material(w, family);
    if (lev_text_begins(id, "steel_") || lev_text_begins(id, "ss_") ||
        strcmp(id, "case_hard") == 0)
        lev_work_material(w, "steel");
    if (strcmp(family, "coating") == 0)
        lev_work_process(w, "strip");
}

/* One of the words fits the pattern list: `*`, a word, or a beginning with `*`. */
static bool fits(const char *patterns, const char *const words[], int n)
{
    while (*patterns != '\0') {
        const size_t len = strcspn(patterns, ";");
        const bool open = len > 0 && patterns[len - 1] == '*';
        if (open && len == 1)
            return true;
        for (int i = 0; i < n; i++) {
            const bool begins = strncmp(words[i], patterns, open ? len - 1 : len) == 0;
            if (begins && (open || words[i][len] == '\0'))
                return true;
        }
        patterns += len;
        patterns += *patterns == ';';
    }
    return false;
}

static int severity_order(const lev_row_safety *row)
{
    return strcmp(row->severity, "danger") == 0    ? 0
           : strcmp(row->severity, "warning") == 0 ? 1
                                                   : 2;
}

/* A word of more than three letters of the condition was said. */
static bool was_said(const char *condition, const lev_work_words *w)
{
    while (*condition != '\0') {
        const size_t n = strcspn(condition, " ,;-");
        char word[32];
        if (n > 3 && n < sizeof word) {
            memcpy(word, condition, n);
            word[n - (condition[n - 1] == 's')] = '\0'; /* hands: hand */
            for (int i = 0; i < w->sayings; i++)
                for (const char *p = w->said[i]; *p != '\0'; p++)
                    if (lev_text_begins(p, word))
                        return true;
        }
        condition += n;
        condition += strspn(condition, " ,;-");
    }
    return false;
}

/* About the material, about the process or tool, or about anything. */
static int aim_order(const lev_row_safety *row)
{
    if (strcmp(row->material, "*") != 0)
        return 0;
    return strcmp(row->process, "*") != 0 || strcmp(row->tool, "*") != 0 ? 1 : 2;
}

static int by_weight(const void *a, const void *b)
{
    const lev_row_safety *x = *(const lev_row_safety *const *)a;
    const lev_row_safety *y = *(const lev_row_safety *const *)b;
    const int by_severity = severity_order(x) - severity_order(y);
    const int by_aim = aim_order(x) - aim_order(y);
    if (by_severity != 0)
        return by_severity;
    if (by_aim != 0)
        return by_aim;
    return x->rank != y->rank ? x->rank - y->rank : strcmp(x->id, y->id);
}

int lev_cautions(const lev_work_words *w, const lev_row_safety *out[LEV_CAUTIONS_MAX])
{
    int n = 0;
    for (int i = 0; i < LEV_TAB_SAFETY_N && n < LEV_CAUTIONS_MAX; i++) {
        const lev_row_safety *row = &lev_tab_safety[i];
        const bool circumstance = row->always != 0 && aim_order(row) == 2;
        if (fits(row->material, w->material, w->materials) &&
            fits(row->process, w->process, w->processes) &&
            fits(row->tool, w->tool, w->tools) &&
            (!circumstance || was_said(row->condition, w)))
            out[n++] = row;
    }
    qsort(out, (size_t)n, sizeof *out, by_weight);
    return n;
}

void lev_caution_words(lev_text *t, const lev_row_safety *row)
{
    const char *rest = row->caution;
    if (row->condition[0] != '\0' && strcmp(row->condition, "any") != 0) {
        const char first = row->condition[0];
        lev_text_print(
            t, "%c%s: ", first >= 'a' && first <= 'z' ? first - 'a' + 'A' : first,
            row->condition + 1);
        const bool word = *rest >= 'A' && *rest <= 'Z' && rest[1] >= 'a'; /* not N95 */
        lev_text_print(t, "%c", word ? *rest - 'A' + 'a' : *rest);
        rest++;
    }
    lev_text_add(t, rest);
}

/* ---- leave it alone ---- */

/* One of the listed words stands in the text as words of their own. */
static bool says(const char *text, const char *words)
{
    char low[256];
    size_t n = 0;
    for (; text[n] != '\0' && n + 1 < sizeof low; n++)
        low[n] =
            text[n] >= 'A' && text[n] <= 'Z' ? (char)(text[n] - 'A' + 'a') : text[n];
    low[n] = '\0';
    while (*words != '\0') {
        char word[64];
        const size_t len = strcspn(words, ";");
        if (len > 0 && len < sizeof word) {
            memcpy(word, words, len);
            word[len] = '\0';
            if (strstr(low, word) != NULL)
                return true;
        }
        words += len;
        words += *words == ';';
    }
    return false;
}

const lev_row_leave_alone *lev_leave_alone(const char *material, const char *state)
{
    for (int i = 0; i < LEV_TAB_LEAVE_ALONE_N; i++) {
        const lev_row_leave_alone *row = &lev_tab_leave_alone[i];
        const char *const one[] = {material};
        if (!fits(row->material, one, 1))
            continue;
        if (row->words[0] == '\0' || says(state, row->words))
            return row;
    }
    return NULL;
}

const char *lev_deference(void)
{
    return "Local law, the codes in force where you work, the maker's instructions for "
           "your machine and abrasive, and the advice of licensed or certified people "
           "come before anything printed here. Limits shown are those published at the "
           "date of the table. If in doubt, stop and ask.";
}
