/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Names into numbers. See app_resolve.h. */
#include "app_resolve.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "levigate/note.h"
#include "num.h"
#include "text.h"
#include "units.h"

/* The nearest id among n rows given by `at`, "" when none is near. */
static const char *nearest_id(const char *s, int n, const char *(*at)(int))
{
    const char *best = "";
    int least = 4;
    for (int i = 0; i < n; i++) {
        const int d = lev_text_distance(s, at(i));
        if (d < least) {
            least = d;
            best = at(i);
        }
    }
    return best;
}

/* ---- work ---- */

/* Words that count when a state is compared: longer than three letters. */
static bool shares_word(const char *state, const char *words)
{
    while (*words != '\0') {
        const size_t n = strcspn(words, " ,;");
        char word[40];
        if (n > 3 && n < sizeof word) {
            memcpy(word, words, n);
            word[n] = '\0';
            for (const char *p = state; *p != '\0'; p++)
                if (lev_text_begins(p, word))
                    return true;
        }
        words += n;
        words += strspn(words, " ,;");
    }
    return false;
}

/* The state row with figures that the words fit, for this family of hardness. */
static const lev_row_hard_word *state_row(const char *state, const lev_material *m)
{
    const char *family = lev_material_is_ferrous(m) ? "steel" : m->family;
    for (int i = 0; i < LEV_TAB_HARD_WORD_N; i++) {
        const lev_row_hard_word *row = &lev_tab_hard_word[i];
        if (strcmp(row->family, family) == 0 && lev_known(row->low_gpa) &&
            lev_known(row->high_gpa) && shares_word(state, row->words))
            return row;
    }
    return NULL;
}

/* A state that names another row of the same material ("annealed") goes first, then a
 * hardness in figures, then the words of the hardness table. */
static void apply_state(const char *state, lev_resolved_work *w)
{
    char both[200];
    lev_hardness h;
    lev_material_reading reading;
    const lev_row_hard_word *row = state_row(state, &w->material);
    if (lev_material_hardness(state, &h, NULL) >= 0) {
        w->work.hardness_gpa = h.gpa;
        w->notes |= h.notes;
        w->hardness_from = "the hardness given";
    } else if (row != NULL) {
        w->work.hardness_gpa = sqrt(row->low_gpa * row->high_gpa);
        w->notes |= LEV_NOTE_PRACTICE;
        w->hardness_from = row->words;
    } else if (snprintf(both, sizeof both, "%s, %s", w->material.id, state) <
                   (int)sizeof both &&
               lev_material_read(both, &reading, NULL) >= 0 &&
               reading.warning[0] == '\0') {
        w->material = reading.match[0];
        w->work.hardness_gpa = w->material.hardness_gpa.value;
        w->hardness_from = w->material.name;
    }
}

static double known_or_zero(double x)
{
    return lev_known(x) ? x : 0.0;
}

/* Coatings and stones may have no hardness in GPa: the family's usual one stands in. */
static double usual_hardness_gpa(const char *family)
{
    for (int i = 0; i < LEV_TAB_COEF_N; i++)
        if (strcmp(lev_tab_coef[i].quantity, "hardness") == 0 &&
            strcmp(lev_tab_coef[i].applies, family) == 0)
            return lev_tab_coef[i].median;
    return NAN;
}

lev_status lev_resolve_work(const char *material, const char *state,
                            lev_resolved_work *out, lev_error *err)
{
    lev_status st = LEV_OK;
    lev_resolved_work w = {.hardness_from = ""};
    LEV_TRY(lev_material_find(material, &w.material, err));
    w.work.hardness_gpa = w.material.hardness_gpa.value;
    w.hardness_from = w.material.name;
    if (state != NULL && state[0] != '\0')
        apply_state(state, &w);
    const lev_material *m = &w.material;
    if (!lev_known(w.work.hardness_gpa)) {
        w.work.hardness_gpa = usual_hardness_gpa(m->family);
        w.notes |= LEV_NOTE_DEFAULT;
    }
    if (!(w.work.hardness_gpa > 0.0))
        LEV_TRY(
            lev_fail(err, LEV_E_UNKNOWN,
                     "no hardness is published for %s; give one as the state, such as "
                     "\"120 HV\"",
                     m->name));
    w.work.family = lev_cut_family_read(m->family);
    w.work.modulus_gpa = known_or_zero(m->youngs_gpa.value);
    w.work.loading = m->loading;
    w.work.galling = m->galling >= 2;
    w.work.conductivity_w_mk = known_or_zero(m->conductivity_w_mk.value);
    w.work.density_kg_m3 = known_or_zero(m->density_kg_m3.value);
    w.work.heat_j_kgk = known_or_zero(m->specific_heat_j_kgk.value);
    w.work.damage_c = known_or_zero(m->max_temp_c.value);
    w.work.mark = m->hardness_gpa.mark;
    w.work.pore_floor_um = lev_material_is_wood(m) ? lev_cut_pore_floor_um(m->id) : 0.0;
    w.notes |= m->notes;
    *out = w;
out:
    return st;
}

/* ---- grit ---- */

lev_status lev_resolve_grain(const lev_grit *g, lev_grain_dist *out, unsigned *notes,
                             lev_error *err)
{
    lev_grit_size size;
    const lev_status st = lev_grit_size_of(g, &size, err);
    if (st < 0)
        return st;
    *out = (lev_grain_dist){log(size.median_um), size.lnsd,
                            isfinite(size.max_um) ? size.max_um : 0.0};
    *notes |= size.notes | g->notes;
    return LEV_OK;
}

lev_status lev_resolve_marking(const char *marking, const char *system, lev_grit *out,
                               unsigned *notes, lev_error *err)
{
    lev_grit_reading reading;
    const lev_status st = lev_grit_read(marking, system, &reading, err);
    if (st < 0)
        return st;
    *out = reading.match[0];
    if (reading.ambiguous)
        *notes |= LEV_NOTE_DEFAULT;
    return LEV_OK;
}

/* ---- drive, push, mineral, fluid, check ---- */

static const char *drive_id(int i)
{
    return lev_tab_drive[i].id;
}

lev_status lev_resolve_drive(const char *id, const lev_row_drive **out, lev_error *err)
{
    for (int i = 0; i < LEV_TAB_DRIVE_N; i++)
        if (lev_text_same(lev_tab_drive[i].id, id)) {
            *out = &lev_tab_drive[i];
            return LEV_OK;
        }
    const char *near = nearest_id(id, LEV_TAB_DRIVE_N, drive_id);
    if (near[0] != '\0')
        return lev_fail(err, LEV_E_UNKNOWN, "no drive \"%.40s\"; did you mean %s", id,
                        near);
    return lev_fail(
        err, LEV_E_UNKNOWN,
        "no drive \"%.40s\"; known: hand-plate, hand-wood, hand-cork, "
        "hand-felt, hand-foam, hand-bare, orbital, disc, belt, wheel, buff, "
        "lathe, lap",
        id);
}

static const char *push_id(int i)
{
    return lev_tab_push[i].id;
}

static const lev_row_push *push_row(const char *id)
{
    for (int i = 0; i < LEV_TAB_PUSH_N; i++)
        if (lev_text_same(lev_tab_push[i].id, id))
            return &lev_tab_push[i];
    return NULL;
}

/* The word whose band a force lies in, or is nearest to. */
static const lev_row_push *push_words(double push_n)
{
    const lev_row_push *best = NULL;
    double least = INFINITY;
    for (int i = 0; i < LEV_TAB_PUSH_N; i++) {
        const lev_row_push *row = &lev_tab_push[i];
        const double away = fabs(log(push_n / sqrt(row->low_n * row->high_n)));
        if (strcmp(row->id, "tool") != 0 && away < least) {
            least = away;
            best = row;
        }
    }
    return best;
}

lev_status lev_resolve_push(const char *words, const lev_row_drive *drive,
                            double *push_n, const lev_row_push **row, lev_error *err)
{
    const char *end = words;
    if (words == NULL || words[0] == '\0') {
        const lev_row_push *low = push_row(drive->push_low),
                           *high = push_row(drive->push_high);
        *push_n =
            sqrt(sqrt(low->low_n * low->high_n) * sqrt(high->low_n * high->high_n));
        *row = push_words(*push_n);
        if (strcmp(drive->push_low, "tool") == 0)
            *row = low;
        return LEV_OK;
    }
    *row = push_row(words);
    if (*row != NULL) {
        *push_n = sqrt((*row)->low_n * (*row)->high_n);
        return LEV_OK;
    }
    const double kg = lev_num_read(words, true, &end);
    end += strspn(end, " ");
    if (end != words && (*end == '\0' || lev_text_same(end, "kg")) && kg > 0.0 &&
        kg <= 100.0) {
        *push_n = kg * LEV_N_PER_KGF;
        *row = push_words(*push_n);
        return LEV_OK;
    }
    const char *near = nearest_id(words, LEV_TAB_PUSH_N, push_id);
    return lev_fail(
        err, LEV_E_UNKNOWN,
        "push \"%.40s\" is neither a word (feather, hand, normal, firm, leaning, "
        "tool) nor kg on a scale%s%s",
        words, near[0] != '\0' ? "; did you mean " : "", near);
}

static const char *mineral_id(int i)
{
    return lev_tab_mineral[i].id;
}

static const char *usual_mineral(const lev_grit *g, const char *family)
{
    static const struct {
        const char *system, *mineral;
    } by_system[] = {{"FEPA-D", "diamond"},        {"FEPA-micron", "diamond"},
                     {"diamond-paste", "diamond"}, {"FEPA-B", "cbn"},
                     {"old-DIN", "diamond"},       {"emery-paper", "emery"},
                     {"garnet-aught", "garnet"},   {"pumice", "pumice"},
                     {"steel-wool", "steel"},      {"steel-wool-jp", "steel"},
                     {"stone", "novaculite"}};
    for (size_t i = 0; i < sizeof by_system / sizeof *by_system; i++)
        if (strcmp(by_system[i].system, g->system) == 0)
            return by_system[i].mineral;
    const bool coarse = g->d50_um > 60.0; /* style: where wet paper takes over */
    return strcmp(family, "wood") == 0 || coarse ? "brown-alumina" : "silicon-carbide";
}

lev_status lev_resolve_mineral(const char *id, const lev_grit *g, const char *family,
                               const lev_row_mineral **out, lev_error *err)
{
    const char *wanted = id != NULL && id[0] != '\0' ? id : usual_mineral(g, family);
    for (int i = 0; i < LEV_TAB_MINERAL_N; i++)
        if (lev_text_same(lev_tab_mineral[i].id, wanted)) {
            *out = &lev_tab_mineral[i];
            return LEV_OK;
        }
    const char *near = nearest_id(wanted, LEV_TAB_MINERAL_N, mineral_id);
    return lev_fail(err, LEV_E_UNKNOWN, "no mineral \"%.40s\"%s%s", wanted,
                    near[0] != '\0' ? "; did you mean " : "", near);
}

lev_status lev_resolve_fluid(const char *words, lev_cut_fluid *out, lev_error *err)
{
    static const char *const kinds[LEV_CUT_FLUIDS] = {"dry", "water", "spirit", "oil",
                                                      "wax"};
    for (int k = 0; k < LEV_CUT_FLUIDS; k++)
        if (lev_text_same(words, kinds[k])) {
            *out = (lev_cut_fluid)k;
            return LEV_OK;
        }
    for (int i = 0; i < LEV_TAB_FLUID_WORD_N; i++) {
        if (!lev_text_same(lev_tab_fluid_word[i].id, words) &&
            !lev_text_same(lev_tab_fluid_word[i].words, words))
            continue;
        for (int k = 0; k < LEV_CUT_FLUIDS; k++)
            if (strcmp(lev_tab_fluid_word[i].kind, kinds[k]) == 0)
                *out = (lev_cut_fluid)k;
        return LEV_OK;
    }
    return lev_fail(err, LEV_E_UNKNOWN,
                    "fluid \"%.40s\" is not known; known: dry, water, spirit, oil, wax",
                    words);
}

double lev_resolve_miss(const char *check)
{
    for (int i = 0; i < LEV_TAB_CHECK_N; i++)
        if (strcmp(lev_tab_check[i].id, check) == 0)
            return sqrt(lev_tab_check[i].miss_low * lev_tab_check[i].miss_high);
    return 1.0;
}
