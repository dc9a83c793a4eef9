/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The options of a face. See plan_space.h. */
#include "plan_space.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "levigate/heat.h"
#include "levigate/note.h"
#include "mem.h"
#include "num.h"
#include "text.h"

double space_rule(const char *id)
{
    for (int i = 0; i < LEV_TAB_PLAN_RULE_N; i++)
        if (strcmp(lev_tab_plan_rule[i].id, id) == 0)
            return lev_tab_plan_rule[i].value;
    return NAN;
}

static const char *family_word(lev_cut_family f)
{
    static const char *const words[LEV_CUT_FAMILIES] = {"metal", "wood",  "polymer",
                                                        "stone", "glass", "coating"};
    return f < LEV_CUT_FAMILIES ? words[f] : "";
}

static int push_index(const char *id)
{
    for (int i = 0; i < LEV_TAB_PUSH_N; i++)
        if (strcmp(lev_tab_push[i].id, id) == 0)
            return i;
    return 0;
}

static bool drive_is_asked(const lev_face *f, const lev_row_drive *d)
{
    if (!lev_text_in_list(family_word(f->work.family), d->families))
        return false;
    if (f->drives_n == 0)
        return lev_text_in_list(f->shape, d->shapes);
    for (int i = 0; i < f->drives_n; i++)
        if (lev_text_same(f->drives[i], d->id))
            return true;
    return false;
}

/* Without a list of drives the shop's table says who takes such a carrier. */
static bool drive_takes(const lev_face_medium *m, const lev_row_drive *d)
{
    if (m->drives != NULL && m->drives[0] != '\0')
        return lev_text_in_list(d->id, m->drives);
    for (int i = 0; i < LEV_TAB_MEDIUM_KIND_N; i++)
        if (lev_text_same(lev_tab_medium_kind[i].carrier, m->carrier) &&
            lev_text_in_list(d->id, lev_tab_medium_kind[i].drives))
            return true;
    return false;
}

static bool fluid_fits(const lev_face *f, const lev_face_medium *m, lev_cut_fluid *out)
{
    const bool wet = strcmp(f->fluid, "wet") == 0, dry = strcmp(f->fluid, "dry") == 0;
    *out = LEV_CUT_DRY;
    if (wet && !m->waterproof)
        return false;
    if (m->waterproof && !dry && (wet || f->work.family != LEV_CUT_WOOD))
        *out = f->work.family == LEV_CUT_WOOD ? LEV_CUT_SPIRIT : LEV_CUT_WATER;
    return true;
}

bool space_by_hand(const space_option *o)
{
    return o->drive == NULL || lev_known(o->drive->strokes_per_min);
}

lev_status space_add(space *s, const space_option *o, int *cap, lev_error *err)
{
    lev_status st = LEV_OK;
    if (s->n >= LEV_PLAN_OPTIONS)
        LEV_TRY(lev_fail(err, LEV_E_LIMIT,
                         "more than %d ways to work; name the drives or fewer media",
                         (int)LEV_PLAN_OPTIONS));
    if (s->n == *cap) {
        const int wanted = *cap > 0 ? 2 * *cap : 64;
        LEV_TRY(lev_mem_grow((void **)&s->option, (size_t)*cap, (size_t)wanted,
                             sizeof *s->option, err));
        *cap = wanted;
    }
    s->option[s->n++] = *o;
out:
    return st;
}

/* What a hand puts on a small part: never more than the part stands. */
static double hand_push_n(const space *s, const lev_row_drive *d, double push_n)
{
    const double on_mm2 = fmin(d->contact_mm2, s->face->area_mm2);
    return lev_known(d->strokes_per_min)
               ? fmin(push_n, space_rule("hand-most") * on_mm2 * 1e-3) /* kPa mm2 */
               : push_n;
}

/* The word for a push: the row whose middle is nearest by ratio. */
static const lev_row_push *push_near(double push_n)
{
    const lev_row_push *best = &lev_tab_push[0];
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

static bool stays_cool(const space *s, const space_option *o);

void space_apply_learned(const space *s, const char *drive, const char *mineral,
                         lev_cut_pass *pass)
{
    for (ptrdiff_t i = 0; mineral != NULL && i < s->face->learned_n; i++) {
        const lev_face_factor *f = &s->face->learned[i];
        if (strcmp(f->drive, drive) != 0 || strcmp(f->mineral, mineral) != 0)
            continue;
        *pass = lev_cut_scaled(pass, f->factor);
        for (int k = 0; k < LEV_CUT_FACTORS; k++)
            pass->lnsd[k] *= f->sd_left[k];
        pass->notes |= LEV_NOTE_LOG;
        return;
    }
}

static lev_status add_medium(space *s, const lev_face_medium *m, const lev_row_drive *d,
                             int *cap, lev_error *err)
{
    lev_status st = LEV_OK;
    const int first = push_index(d->push_low), last = push_index(d->push_high);
    for (int i = first; i <= last; i++) {
        const lev_row_push *push = &lev_tab_push[i];
        const double wanted_n = sqrt(push->low_n * push->high_n);
        const double push_n = hand_push_n(s, d, wanted_n);
        const bool limited = push_n < wanted_n;
        if (limited)
            push = push_near(push_n);
        space_option o = {.medium = m, .drive = d, .push = push};
        o.tool = (lev_cut_tool){
            .kind = strcmp(d->id, "buff") == 0 ? LEV_CUT_BUFF : LEV_CUT_GRIT,
            .grain = m->grain,
            .mineral = m->mineral,
            .mineral_hardness_gpa = m->mineral_hardness_gpa,
            .open_coat = m->open_coat,
            .carrier = m->carrier,
            .drive = d->id,
            .push_n = push_n,
            .state = m->state,
        };
        if (!fluid_fits(s->face, m, &o.tool.fluid))
            continue;
        LEV_TRY(lev_cut_pass_init(&s->face->work, &o.tool, s->face->area_mm2, &o.pass,
                                  err));
        space_apply_learned(s, d->id, m->mineral, &o.pass);
        o.grain_um = m->d50_um;
        if (o.pass.face_um_per_min > 0.0 && o.pass.rho_long_um > 0.0 &&
            stays_cool(s, &o))
            LEV_TRY(space_add(s, &o, cap, err));
        if (limited)
            break; /* harder pushes come to the same */
    }
out:
    return st;
}

const lev_row_form_word *space_form_word(const char *form)
{
    for (int i = 0; i < LEV_TAB_FORM_WORD_N; i++)
        if (strcmp(lev_tab_form_word[i].id, form) == 0)
            return &lev_tab_form_word[i];
    return NULL;
}

/* A file does not bite hardened steel. */
static bool form_bites(const lev_face *f, const lev_row_cut_step *row)
{
    const lev_row_form_word *word = space_form_word(row->id);
    return word == NULL || !lev_known(word->most_gpa) ||
           f->work.hardness_gpa <= word->most_gpa;
}

/* A powered step that would harm the face at its first pass, or within the time one
 * patch takes, is no way to work. */
static bool stays_cool(const space *s, const space_option *o)
{
    const lev_face *f = s->face;
    const double usual_mm = space_rule("thick");
    const lev_heat_part part = {
        .thickness_mm = lev_known(f->thickness_mm) ? f->thickness_mm : usual_mm,
        .area_mm2 = f->area_mm2};
    lev_heat h;
    if (lev_known(o->drive->strokes_per_min) ||
        lev_heat_step(&f->work, &o->tool, &o->pass, &part, &h, NULL) < 0)
        return true;
    return !(o->pass.speed_m_s > h.speed_limit_m_s) &&
           !(h.to_damage_s < space_rule("cover-machine"));
}

static bool form_fits(const lev_face *f, const lev_row_cut_step *row)
{
    if (!form_bites(f, row))
        return false;
    if (strcmp(row->family, family_word(f->work.family)) != 0 ||
        strcmp(row->kind, "burnish") == 0)
        return false;
    if (strcmp(row->kind, "lathe-cut") == 0)
        return strcmp(f->shape, "turned") == 0;
    if (strcmp(row->kind, "file") == 0 && strcmp(f->shape, "turned") != 0)
        return true; /* half-round and needle files reach insides and curves */
    return strcmp(f->shape, "flat") == 0 || strcmp(f->shape, "edge") == 0;
}

static lev_cut_kind form_kind(const lev_row_cut_step *row)
{
    static const struct {
        const char *word;
        lev_cut_kind kind;
    } kinds[] = {{"file", LEV_CUT_FILE},
                 {"draw-file", LEV_CUT_DRAW_FILE},
                 {"scraper", LEV_CUT_SCRAPER},
                 {"plane", LEV_CUT_PLANE},
                 {"lathe-cut", LEV_CUT_LATHE}};
    for (size_t i = 0; i < sizeof kinds / sizeof *kinds; i++)
        if (strcmp(kinds[i].word, row->kind) == 0)
            return kinds[i].kind;
    return LEV_CUT_KINDS;
}

static lev_status add_forms(space *s, int *cap, lev_error *err)
{
    lev_status st = LEV_OK;
    for (int i = 0; i < LEV_TAB_CUT_STEP_N && s->face->steps_without_grit; i++) {
        const lev_row_cut_step *row = &lev_tab_cut_step[i];
        space_option o = {.form = row, .push = push_near(row->push_n)};
        o.tool = (lev_cut_tool){.kind = form_kind(row), .form = row->id};
        if (!form_fits(s->face, row) || o.tool.kind == LEV_CUT_KINDS)
            continue;
        LEV_TRY(lev_cut_pass_init(&s->face->work, &o.tool, s->face->area_mm2, &o.pass,
                                  err));
        space_apply_learned(s, row->kind, "", &o.pass);
        if (o.pass.face_um_per_min > 0.0 && o.pass.rho_long_um > 0.0)
            LEV_TRY(space_add(s, &o, cap, err));
    }
out:
    return st;
}

/* Deepest line over grain size: the middle of the media, for what has no grains. */
static double usual_deep_per_grain(const space *s)
{
    double sum = 0.0;
    int n = 0;
    for (int j = 0; j < s->n; j++)
        if (s->option[j].medium != NULL && s->option[j].pass.deepest_um > 0.0) {
            sum += log(s->option[j].pass.deepest_um / s->option[j].grain_um);
            n++;
        }
    return n > 0 ? exp(sum / n) : 1.0;
}

static int coarse_first(const void *a, const void *b)
{
    const space_option *x = a, *y = b;
    return (x->order < y->order) - (x->order > y->order);
}

/* Sizes that differ by less than a step of this ratio count as one, so that no ladder
 * goes from a paper to its twin of another system. */
static int count_sizes(space *s, double ratio)
{
    int sizes = 0;
    double before = INFINITY;
    for (int j = 0; j < s->n; j++) {
        space_option *o = s->option + j;
        if (o->grain_um * ratio < before) {
            before = o->grain_um;
            sizes++;
        }
        o->order = before;
    }
    return sizes;
}

static void size_forms(space *s)
{
    s->deep_per_grain = usual_deep_per_grain(s);
    for (int j = 0; j < s->n; j++)
        if (s->option[j].medium == NULL)
            s->option[j].grain_um = s->option[j].pass.deepest_um / s->deep_per_grain;
}

static void order_options(space *s)
{
    for (int j = 0; j < s->n; j++)
        s->option[j].order = s->option[j].grain_um;
    if (s->n > 0)
        qsort(s->option, (size_t)s->n, sizeof *s->option, coarse_first);
    for (double ratio = 1.02; count_sizes(s, ratio) > LEV_PLAN_STEPS;)
        ratio *= ratio;
}

/* Target and budget hold together when each factor does at this quantile. */
static void choose_quantile(space *s)
{
    const double chance = space_rule("chance");
    const bool has_budget = lev_known(s->face->budget_um);
    s->quantile = has_budget ? sqrt(chance) : chance;
    s->relax = 1.0;
    for (int j = 0; j < s->n && has_budget; j++)
        s->relax = fmax(s->relax, exp(lev_norm_quantile(s->quantile) *
                                      s->option[j].pass.lnsd[LEV_CUT_F_RELAX]));
}

static bool is_one_way(const lev_row_drive *d)
{
    return d == NULL || lev_known(d->stroke_mm) || strcmp(d->id, "belt") == 0 ||
           strcmp(d->id, "lathe") == 0;
}

/* At most this chance that a reading is above the limit; a largest reading of n asks it
 * of each, by the union bound. */
static double allowed_above(const space *s)
{
    const lev_face_target *t = &s->face->target;
    const int n = t->readings > 1 && t->rule == LEV_RULE_MAX ? t->readings : 1;
    return (1.0 - s->quantile) / n;
}

bool space_meets(const space *s, const space_option *o)
{
    const lev_face_target *t = &s->face->target;
    const lev_cut_pass bad = lev_cut_unfavourable(&o->pass, s->quantile);
    if (lev_known(t->ra_max_um) &&
        1.0 - lev_cut_chance_below(&o->pass, t->ra_max_um, t->ra_max_lnsd) >
            allowed_above(s))
        return false;
    if (lev_known(t->ra_min_um) && o->pass.ra_um < t->ra_min_um)
        return false;
    if (lev_known(t->rz_max_um) && bad.rz_um > t->rz_max_um)
        return false;
    if (lev_known(t->last_coarse_um) && o->grain_um > t->last_coarse_um * 1.001)
        return false;
    if (lev_known(t->last_fine_um) && o->grain_um < t->last_fine_um * 0.999)
        return false;
    const bool last_grit_told = lev_known(t->last_coarse_um);
    if (o->medium == NULL && (last_grit_told || t->lay == LEV_LAY_NONE))
        return false; /* a scraper or file is no last grit */
    if (t->last_label != NULL && t->last_label[0] != '\0' &&
        (o->medium == NULL || !lev_text_same(o->medium->label, t->last_label) ||
         (t->last_system != NULL && t->last_system[0] != '\0' &&
          !lev_text_same(o->medium->system, t->last_system))))
        return false;
    return t->lay != LEV_LAY_ONE_WAY || is_one_way(o->drive);
}

/* What goes round leaves curls on wood: where a hand can leave the same surface, the
 * ladder ends by hand along the grain. */
static void end_along_the_grain(space *s)
{
    bool by_hand = false;
    for (int j = 0; j < s->n; j++)
        by_hand = by_hand || (s->option[j].meets && space_by_hand(s->option + j));
    for (int j = 0; j < s->n && by_hand; j++)
        s->option[j].meets = s->option[j].meets && is_one_way(s->option[j].drive);
}

lev_status space_find_options(space *s, lev_error *err)
{
    lev_status st = LEV_OK;
    const lev_face *f = s->face;
    int cap = 0;
    for (ptrdiff_t i = 0; i < f->media_n; i++)
        for (int d = 0; d < LEV_TAB_DRIVE_N; d++)
            if (drive_is_asked(f, &lev_tab_drive[d]) &&
                drive_takes(f->media + i, &lev_tab_drive[d]))
                LEV_TRY(add_medium(s, f->media + i, &lev_tab_drive[d], &cap, err));
    LEV_TRY(add_forms(s, &cap, err));
    size_forms(s);
    choose_quantile(s);
    s->best_ra_um = INFINITY;
    for (int j = 0; j < s->n; j++) {
        space_option *o = s->option + j;
        o->lines = lev_cut_lines_of(o->grain_um);
        o->meets = space_meets(s, o);
        s->best_ra_um =
            fmin(s->best_ra_um, lev_cut_unfavourable(&o->pass, s->quantile).ra_um);
    }
    if (f->target.lay == LEV_LAY_ONE_WAY)
        LEV_TRY(space_add_lays(s, &cap, err));
    else if (f->work.family == LEV_CUT_WOOD)
        end_along_the_grain(s);
    order_options(s);
out:
    return st;
}

lev_status space_init(space *s, const lev_face *face, lev_error *err)
{
    lev_status st = LEV_OK;
    *s = (space){.face = face};
    if (!(face->area_mm2 > 0.0) || !(face->work.hardness_gpa > 0.0))
        LEV_TRY(lev_fail(err, LEV_E_RANGE, "area %g mm2 or hardness %g GPa of the face",
                         face->area_mm2, face->work.hardness_gpa));
    if (!(face->full_miss > 0.0) || !(face->miss > 0.0))
        LEV_TRY(lev_fail(err, LEV_E_RANGE,
                         "a check that lets %g times the deepest line "
                         "pass",
                         face->full_miss));
    if (lev_known(face->budget_um) && !(face->budget_um > 0.0))
        LEV_TRY(lev_fail(err, LEV_E_RANGE, "budget %g um is not positive",
                         face->budget_um));
    LEV_TRY(space_find_options(s, err));
    if (s->n > 0)
        LEV_TRY(space_fill_table(s, err));
out:
    return st;
}

void space_release(space *s)
{
    if (s == NULL)
        return;
    lev_mem_free(s->option);
    lev_mem_free(s->time_s);
    lev_mem_free(s->money);
    lev_mem_free(s->need_short);
    lev_mem_free(s->need_long);
    lev_mem_free(s->arc);
    lev_mem_free(s->last);
    lev_mem_free(s->row);
    lev_mem_free(s->barred);
    *s = (space){0};
}
