/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Wheels: mineral, grit, hardness, structure, bond, in the order of ISO 525; a number
 * before the mineral and anything after the bond are the maker's own and say nothing.
 */
#include <stdio.h>
#include <string.h>

#include "grit_table.h"

static bool has_role(const lev_grit_token *t, const char *role, const char **value)
{
    return t->type == LEV_TOKEN_WORD &&
           strcmp(lev_grit_word_role(t->text, value), role) == 0;
}

static bool is_mineral(const lev_grit_token *t)
{
    const char *value = "";
    return has_role(t, "wheel", &value);
}

static int skip_hyphen(const lev_grit_tokens *t, int i)
{
    while (i < t->n &&
           (strcmp(t->t[i].text, "-") == 0 || strcmp(t->t[i].text, "/") == 0))
        i++;
    return i;
}

/* What follows the hardness letter: structure, bond; the rest is the maker's. */
static void take_tail(const lev_grit_tokens *t, int i, lev_grit_wheel *w)
{
    const char *value = "";
    i = skip_hyphen(t, i);
    if (i < t->n && t->t[i].type == LEV_TOKEN_NUMBER && t->t[i].value < 100.0) {
        w->structure = (int)t->t[i].value;
        i = skip_hyphen(t, i + 1);
    }
    if (i < t->n && has_role(&t->t[i], "bond", &value))
        (void)snprintf(w->bond, sizeof w->bond, "%.3s", value);
}

bool lev_grit_read_wheel(lev_grit_tokens *t, lev_grit_wheel *out)
{
    lev_grit_wheel w = {.structure = -1};
    int i = 0;
    if (t->n > 1 && t->t[0].type == LEV_TOKEN_NUMBER && is_mineral(&t->t[1]))
        i = 1; /* the maker's own number */
    if (i >= t->n || !is_mineral(&t->t[i]))
        return false;
    const int grit = skip_hyphen(t, i + 1), letter = skip_hyphen(t, grit + 1);
    if (letter >= t->n || t->t[grit].type != LEV_TOKEN_NUMBER)
        return false;
    if (t->t[letter].type != LEV_TOKEN_WORD || strlen(t->t[letter].text) != 1 ||
        t->t[letter].text[0] < 'A' || t->t[letter].text[0] > 'Z')
        return false;
    (void)snprintf(w.mineral, sizeof w.mineral, "%.7s", t->t[i].text);
    w.hardness[0] = t->t[letter].text[0];
    take_tail(t, letter + 1, &w);
    t->t[0] = t->t[grit];
    t->n = 1;
    *out = w;
    return true;
}
