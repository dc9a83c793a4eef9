/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Readings and grits that must be there. Shared by the tests of markings and of sizes.
 */
#ifndef GRIT_SCENE_H
#define GRIT_SCENE_H

#include "unit.h"
#include <string.h>
#include "levigate/grit.h"
#include "levigate/note.h"
#include "rng.h"
#include "text.h"

static inline lev_grit_reading read_ok(const char *marking)
{
    lev_grit_reading r;
    lev_error err = {0};
    assert_ok(lev_grit_read(marking, NULL, &r, &err), &err);
    return r;
}

static inline const lev_grit *match_of(const lev_grit_reading *r, const char *system)
{
    for (int i = 0; i < r->n; i++)
        if (strcmp(r->match[i].system, system) == 0)
            return &r->match[i];
    print_error("no match of %s\n", system);
    fail();
    return NULL;
}

static inline void assert_reads(const char *marking, const char *system,
                                const char *label)
{
    const lev_grit_reading r = read_ok(marking);
    if (strcmp(r.match[0].system, system) != 0 ||
        strcmp(r.match[0].label, label) != 0) {
        print_error("%s reads as %s %s, not %s %s\n", marking, r.match[0].system,
                    r.match[0].label, system, label);
        fail();
    }
}

static inline void assert_refused(const char *marking, lev_status st,
                                  const char *message)
{
    lev_grit_reading r;
    lev_error err = {0};
    assert_int_equal(lev_grit_read(marking, NULL, &r, &err), st);
    if (strstr(err.text, message) == NULL) {
        print_error("%s: \"%s\" lacks \"%s\"\n", marking, err.text, message);
        fail();
    }
}

static inline lev_grit grit(const char *system, const char *label, const char *method)
{
    lev_grit g;
    lev_error err = {0};
    assert_ok(lev_grit_find(system, label, method, &g, &err), &err);
    return g;
}

static inline lev_grit_size size_of(const lev_grit *g)
{
    lev_grit_size s;
    lev_error err = {0};
    assert_ok(lev_grit_size_of(g, &s, &err), &err);
    return s;
}

#endif
