/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a face will show, as JSON and in words. Gloss always with its direction. */
#include "app_look.h"

#include <math.h>
#include <stdio.h>

#include "levigate/note.h"

#include "json.h"
#include "units.h"

static const char *lay_word(const lev_look *k, int lay)
{
    if (!k->directional)
        return "none";
    return lay == LEV_LAY_ACROSS ? "across" : "along";
}

/* ---- JSON ---- */

static json_t *gloss_json(const lev_look_state *s, int *failed)
{
    json_t *list = json_array();
    const int lays = s->look.directional ? LEV_LAYS : 1;
    for (int angle = 0; angle < LEV_GLOSS_ANGLES; angle++)
        for (int lay = 0; lay < lays && s->look.has_gu[angle]; lay++) {
            json_t *o = json_object();
            int bad = lev_json_put_number(o, "angle_deg", lev_optics_gloss_deg(angle));
            bad |= lev_json_put_text(o, "lay", lay_word(&s->look, lay));
            bad |= lev_json_put_number(o, "gu", s->look.gu[angle][lay]);
            bad |= lev_json_put_flag(o, "valid", !s->look.doubtful[angle]);
            if (!s->measured)
                bad |= lev_json_put_spread(o, "gu_spread", s->light.gu[angle][lay]);
            *failed |= bad | lev_json_add(list, o);
        }
    return list;
}

static json_t *colour_json(const double c[LEV_COLOURS], int *failed)
{
    json_t *o = json_object();
    *failed |= lev_json_put_number(o, "red", c[LEV_RED]);
    *failed |= lev_json_put_number(o, "green", c[LEV_GREEN]);
    *failed |= lev_json_put_number(o, "blue", c[LEV_BLUE]);
    return o;
}

static int put_colour(json_t *o, const lev_look *k, int *failed)
{
    char code[8];
    (void)snprintf(code, sizeof code, "#%02x%02x%02x", (unsigned)k->srgb[LEV_RED],
                   (unsigned)k->srgb[LEV_GREEN], (unsigned)k->srgb[LEV_BLUE]);
    int bad = lev_json_put(o, "rspec", colour_json(k->rspec, failed));
    if ((k->notes & LEV_NOTE_DISAGREE) != 0U) {
        bad |= lev_json_put(o, "rspec_low", colour_json(k->rspec_low, failed));
        bad |= lev_json_put(o, "rspec_high", colour_json(k->rspec_high, failed));
    }
    return bad | lev_json_put_text(o, "srgb", code);
}

static int put_texture(json_t *o, const lev_look_state *s)
{
    const lev_look *const k = &s->look;
    int bad = lev_json_put_number(o, "Sq_um", k->sq_um);
    bad |= lev_json_put_number(o, "seen_Sq_um", k->sq_seen_um);
    bad |= lev_json_put_number(o, "slope", k->slope_across);
    if (k->directional && s->measured)
        bad |= lev_json_put_number(o, "lay_deg", k->lay_rad * 180.0 / LEV_PI);
    bad |=
        lev_json_put_text(o, "way", k->way == LEV_SCATTER_FACETS ? "facets" : "waves");
    return bad;
}

static void put_state(json_t *o, const lev_look_state *s, int *failed)
{
    const lev_look *const k = &s->look;
    int bad = lev_json_put_text(o, "label", s->label);
    if (s->step > 0)
        bad |= lev_json_put_number(o, "step", s->step);
    bad |= lev_json_put_number(o, "Ra_um", s->ra_um);
    bad |= lev_json_put(o, "gloss", gloss_json(s, failed));
    bad |= lev_json_put_number(o, "haze", k->haze[LEV_LAY_ACROSS]);
    bad |= lev_json_put_number(o, "haze_log", k->haze_log[LEV_LAY_ACROSS]);
    bad |= lev_json_put_number(o, "doi", k->doi[LEV_LAY_ACROSS]);
    bad |= put_colour(o, k, failed);
    bad |= lev_json_put_number(o, "mirror", k->mirror);
    bad |= lev_json_put_number(o, "readable_mm", k->readable_mm);
    if (!s->measured)
        bad |= lev_json_put_spread(o, "readable_spread_mm", s->light.readable_mm);
    bad |= lev_json_put_number(o, "readable_type_mm", k->readable_type_mm);
    bad |= put_texture(o, s);
    bad |= lev_json_put_flag(o, "valid", (k->notes & LEV_NOTE_OUTSIDE) == 0U);
    bad |= lev_json_put_notes(o, k->notes);
    *failed |= bad;
}

void lev_app_look_json(const lev_look_answer *a, json_t *obj, int *failed)
{
    if (a->face[0] != '\0')
        *failed |= lev_json_put_text(obj, "name", a->face);
    *failed |= lev_json_put_text(obj, "material", a->material);
    *failed |= lev_json_put_number(obj, "card_mm", a->card_mm);
    if (a->states == 1) {
        put_state(obj, &a->state[0], failed);
        return;
    }
    json_t *list = json_array();
    for (int i = 0; i < a->states; i++) {
        json_t *o = json_object();
        put_state(o, &a->state[i], failed);
        *failed |= lev_json_add(list, o);
    }
    *failed |= lev_json_put(obj, "states", list);
}

/* ---- words ---- */

/* Under this no eye comes: the type is not read. */
static const double READS_MM = 0.5;

static void say_first(lev_text *t, const lev_look *k, lev_units units)
{
    const bool reads = k->readable_mm >= READS_MM;
    const size_t from = t->n;
    lev_text_add(t, "type of ");
    lev_words_length(t, k->readable_type_mm, units);
    lev_text_add(t, reads ? " can be read in it at " : " cannot be read in it");
    if (reads)
        lev_words_length(
            t, lev_round_digits(k->readable_mm, k->readable_mm < 10 ? 1 : 2), units);
    lev_text_capitals(t, from);
    lev_text_print(t,
                   "\ncheck: stand type on the face, lift it until it just cannot be "
                   "read, measure\n\n");
}

static void say_gloss(lev_text *t, const lev_look *k)
{
    for (int angle = 0; angle < LEV_GLOSS_ANGLES; angle++) {
        lev_text_print(t, "gloss %.0f deg  ", lev_optics_gloss_deg(angle));
        if (!k->has_gu[angle])
            lev_text_add(t, "not told: the points of the map lie too far apart");
        else if (k->directional)
            lev_text_print(t, "%.3g across the lay, %.3g along it",
                           k->gu[angle][LEV_LAY_ACROSS], k->gu[angle][LEV_LAY_ALONG]);
        else
            lev_text_print(t, "%.3g, no lay", k->gu[angle][LEV_LAY_ACROSS]);
        lev_text_add(t, k->has_gu[angle] && k->doubtful[angle]
                            ? "; a hint: too steep for the model at this angle\n"
                            : "\n");
    }
}

static void say_one(lev_text *t, const lev_look_state *s, lev_units units)
{
    const lev_look *const k = &s->look;
    say_first(t, k, units);
    say_gloss(t, k);
    lev_text_print(t, "haze          %.3g, light beside the mirror direction\n",
                   k->haze[LEV_LAY_ACROSS]);
    lev_text_print(t, "distinctness  %.3g of 100\n", k->doi[LEV_LAY_ACROSS]);
    lev_text_print(t, "reflects      red %.0f, green %.0f, blue %.0f %%\n",
                   100.0 * k->rspec[LEV_RED], 100.0 * k->rspec[LEV_GREEN],
                   100.0 * k->rspec[LEV_BLUE]);
}

static void say_row(lev_text *t, const lev_look_state *s, ptrdiff_t wide,
                    lev_units units)
{
    const lev_look *const k = &s->look;
    lev_text_add(t, s->label);
    lev_text_pad(t, ' ', wide - lev_text_columns(s->label));
    lev_text_print(t, " gloss 60 deg ");
    if (k->directional)
        lev_text_print(t, "%4.0f across, %4.0f along the lay; ",
                       k->gu[LEV_GLOSS_60][LEV_LAY_ACROSS],
                       k->gu[LEV_GLOSS_60][LEV_LAY_ALONG]);
    else
        lev_text_print(t, "%4.0f; ", k->gu[LEV_GLOSS_60][LEV_LAY_ACROSS]);
    if (k->readable_mm < READS_MM) {
        lev_text_add(t, "no type is read in it\n");
        return;
    }
    lev_text_add(t, "type is read ");
    lev_words_length(t, lev_round_digits(k->readable_mm, 1), units);
    lev_text_add(t, " off\n");
}

void lev_app_look_text(lev_text *t, const lev_look_answer *a, lev_units units)
{
    if (a->face[0] != '\0')
        lev_text_print(t, "%s, %s\n", a->face, a->material);
    if (a->states == 1) {
        if (a->face[0] != '\0')
            lev_text_print(t, "after %s\n", a->state[0].label);
        say_one(t, &a->state[0], units);
        return;
    }
    ptrdiff_t wide = 12;
    for (int i = 0; i < a->states; i++)
        if (lev_text_columns(a->state[i].label) > wide)
            wide = lev_text_columns(a->state[i].label);
    if (a->states > 0)
        say_first(t, &a->state[a->states - 1].look, units);
    for (int i = 0; i < a->states; i++)
        say_row(t, &a->state[i], wide, units);
}

/* ---- for the card ---- */

void lev_look_gloss_words(lev_text *t, const lev_look *k)
{
    if (!k->has_gu[LEV_GLOSS_60])
        return;
    lev_text_print(t, "Gloss units at 60 deg: %.0f",
                   lev_round_digits(k->gu[LEV_GLOSS_60][LEV_LAY_ACROSS], 2));
    if (k->directional)
        lev_text_print(t, " across the lines, %.0f along them",
                       lev_round_digits(k->gu[LEV_GLOSS_60][LEV_LAY_ALONG], 2));
    else
        lev_text_add(t, ", the same every way");
}

void lev_look_reads_words(lev_text *t, const lev_look *k, lev_units units)
{
    if (k->readable_mm < READS_MM) {
        lev_text_add(t, "No type can be read in it");
        return;
    }
    lev_text_add(t, "Type ");
    lev_words_length(t, k->readable_type_mm, units);
    lev_text_add(t, " high can be read in it ");
    lev_words_length(t, lev_round_digits(k->readable_mm, 1), units);
    lev_text_add(t, " off");
}
