/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Any bytes as a marking, a bench test, a material and a hardness: never a crash, never
 * a size that is not one, and a message whenever there is no result. */
#include "fuzz.h"

#include "levigate/grit.h"
#include "levigate/material.h"

static void expect(int holds)
{
    if (!holds)
        abort();
}

static void check_marking(const char *text)
{
    lev_grit_reading r;
    lev_error err = {0};
    const lev_status st = lev_grit_read(text, NULL, &r, &err);
    if (st < 0) {
        expect(err.text[0] != '\0');
        return;
    }
    expect(r.n > 0 && r.n <= LEV_GRIT_MATCHES && r.spread >= 1.0);
    for (int i = 0; i < r.n; i++) {
        lev_grit_size s;
        if (lev_grit_size_of(&r.match[i], &s, &err) == LEV_OK)
            expect(s.median_um > 0.0 && s.lnsd > 0.0);
    }
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    char *text = malloc(size + 1);
    if (text == NULL)
        return 0;
    if (size > 0)
        memcpy(text, data, size);
    text[size] = '\0';
    lev_grit_state state;
    lev_grit_narrowing narrowing;
    lev_material_reading material;
    lev_hardness hardness;
    check_marking(text);
    lev_grit_identify_begin(&state);
    if (lev_grit_identify(&state, text, &narrowing, NULL) == LEV_OK)
        expect(narrowing.remaining > 0);
    if (lev_material_read(text, &material, NULL) == LEV_OK)
        expect(material.n > 0);
    if (lev_material_hardness(text, &hardness, NULL) == LEV_OK)
        expect(hardness.gpa > 0.0 && hardness.low_gpa <= hardness.high_gpa);
    free(text);
    return 0;
}
