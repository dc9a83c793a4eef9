/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Look-up of coefficients by quantity and what it applies to. */
#include "cut_coef.h"

#include <assert.h>
#include <string.h>

#include "lev_tables.h"

static const char *const family_words[LEV_CUT_FAMILIES] = {"metal", "wood",  "polymer",
                                                           "stone", "glass", "coating"};

void cut_trust_add(cut_trust *trust, lev_mark mark)
{
    if (trust == NULL)
        return;
    trust->mark = lev_mark_weaker(trust->mark, mark);
    if (mark == LEV_MARK_MEMORY)
        trust->notes |= LEV_NOTE_MEMORY;
    if (mark == LEV_MARK_PRACTICE)
        trust->notes |= LEV_NOTE_PRACTICE;
}

cut_coef cut_coef_find(const char *quantity, const char *applies, cut_trust *trust)
{
    if (applies == NULL)
        return (cut_coef){1.0, 0.0, false};
    for (int i = 0; i < LEV_TAB_COEF_N; i++) {
        const lev_row_coef *row = &lev_tab_coef[i];
        if (row->quantity[0] != quantity[0] || strcmp(row->quantity, quantity) != 0 ||
            strcmp(row->applies, applies) != 0)
            continue;
        cut_trust_add(trust, row->mark);
        return (cut_coef){row->median, row->lnsd, true};
    }
    return (cut_coef){1.0, 0.0, false};
}

double cut_coef_get(const char *quantity, const char *applies, cut_trust *trust)
{
    const cut_coef c = cut_coef_find(quantity, applies, trust);
    assert(c.found);
    return c.median;
}

lev_cut_family lev_cut_family_read(const char *word)
{
    int i = 0;
    while (i < LEV_CUT_FAMILIES && strcmp(word, family_words[i]) != 0)
        i++;
    return (lev_cut_family)i;
}

const char *cut_family_word(lev_cut_family family)
{
    return family_words[family];
}

const char *cut_state_word(lev_cut_state state)
{
    static const char *const words[] = {"run-in", "fresh", "tired"};
    return words[state];
}

const char *cut_fluid_word(lev_cut_fluid fluid)
{
    static const char *const words[LEV_CUT_FLUIDS] = {"dry", "water", "spirit", "oil",
                                                      "wax"};
    return words[fluid];
}

double lev_cut_pore_floor_um(const char *material_id)
{
    const cut_coef own = cut_coef_find("pore", material_id, NULL);
    return own.found ? own.median : cut_coef_get("pore", "any", NULL);
}
