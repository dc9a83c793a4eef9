/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The label search. A label is dropped when a bound of the whole ladder already loses
 * against what was found, or when another label at the same option is nowhere worse:
 * cost, needs, marks, and the budget where there is one. All of these are kept in order
 * by every step (a state that is nowhere worse stays so), hence nothing is lost. */
#include "plan_search.h"

#include <string.h>

#include "mem.h"

enum { USUAL_LABELS = 2000000, TELL_EVERY = 4096 };

lev_status plan_search_init(plan_search *s, const plan_problem *p,
                            const lev_plan_limits *limits, lev_error *err)
{
    *s = (plan_search){.p = p, .limits = limits, .haste = 1, .most = USUAL_LABELS};
    if (limits != NULL && limits->labels > 0)
        s->most = limits->labels;
    return lev_mem_new((size_t)p->n, sizeof(int32_t), (void **)&s->head, err);
}

void plan_search_release(plan_search *s)
{
    if (s == NULL)
        return;
    lev_mem_free(s->label);
    lev_mem_free(s->heap);
    lev_mem_free(s->head);
    *s = (plan_search){0};
}

static lev_status make_room(void **p, ptrdiff_t n, ptrdiff_t *cap, size_t size,
                            lev_error *err)
{
    if (n < *cap)
        return LEV_OK;
    const ptrdiff_t wanted = *cap > 0 ? 2 * *cap : 1024;
    const lev_status st =
        lev_mem_grow(p, (size_t)*cap, (size_t)wanted, size, err);
    if (st >= 0)
        *cap = wanted;
    return st;
}

static lev_status push(plan_search *s, int64_t key, ptrdiff_t label, lev_error *err)
{
    const lev_status st =
        make_room((void **)&s->heap, s->heap_n, &s->heap_cap, sizeof *s->heap, err);
    if (st < 0)
        return st;
    ptrdiff_t i = s->heap_n++;
    for (; i > 0 && s->heap[(i - 1) / 2].key > key; i = (i - 1) / 2)
        s->heap[i] = s->heap[(i - 1) / 2];
    s->heap[i] = (plan_entry){key, (int32_t)label};
    return LEV_OK;
}

static ptrdiff_t pop(plan_search *s, int64_t *key)
{
    const plan_entry top = s->heap[0], moved = s->heap[--s->heap_n];
    ptrdiff_t i = 0;
    for (;;) {
        ptrdiff_t k = 2 * i + 1;
        if (k >= s->heap_n)
            break;
        if (k + 1 < s->heap_n && s->heap[k + 1].key < s->heap[k].key)
            k++;
        if (s->heap[k].key >= moved.key)
            break;
        s->heap[i] = s->heap[k];
        i = k;
    }
    s->heap[i] = moved;
    *key = top.key;
    return top.label;
}

/* No ladder with at least these figures is wanted any more. */
static bool loses(const plan_search *s, const int32_t *least)
{
    if (s->goal == PLAN_FRONT)
        return plan_vectors_cover(s->front, least);
    return s->found && plan_compare((lev_plan_goal)s->goal, least, s->best) >= 0;
}

static bool over_budget(const plan_search *s, const plan_state *x, int32_t rest_levels)
{
    return s->with_budget &&
           x->used + (int64_t)rest_levels * PLAN_EDGE_ONE > s->p->budget;
}

static void least_figures(const plan_search *s, int size_class, const plan_state *x,
                          int32_t least[LEV_PLAN_GOALS])
{
    const plan_cells at = plan_bound_cells(s->b, x);
    for (int k = 0; k < LEV_PLAN_GOALS; k++)
        least[k] = x->cost[k] + plan_bound_after(s->b, size_class, k, at);
}

/* a can stand in for b whatever follows. */
static bool stands_in(const plan_search *s, const plan_state *a, const plan_state *b)
{
    if (a->need[0] > b->need[0] || a->need[1] > b->need[1])
        return false;
    for (int q = 0; q < s->p->marks; q++)
        if (a->mark[q] > b->mark[q])
            return false;
    if (s->with_budget && a->used > b->used)
        return false;
    if (s->goal == PLAN_FRONT)
        return plan_covers(a->cost, b->cost);
    return plan_compare((lev_plan_goal)s->goal, a->cost, b->cost) <= 0;
}

/* True when a label of the option stands in for x; labels x stands in for die. */
static bool is_covered(plan_search *s, int j, const plan_state *x)
{
    int32_t *link = s->head + j;
    while (*link >= 0) {
        plan_label *a = s->label + *link;
        if (stands_in(s, &a->s, x))
            return true;
        if (stands_in(s, x, &a->s)) {
            a->dead = true;
            *link = a->next;
        } else {
            link = &a->next;
        }
    }
    return false;
}

static int64_t order_key(const plan_search *s, const plan_state *x,
                         const int32_t *least)
{
    if (s->goal != PLAN_FRONT)
        return x->cost[s->goal] +
               (int64_t)s->haste * (least[s->goal] - x->cost[s->goal]);
    return least[0];
}

static void write_ladder(const plan_search *s, const plan_label *end, int level, int l,
                         const plan_state *x, lev_plan_ladder *out)
{
    *out = (lev_plan_ladder){.n = x->cost[LEV_PLAN_FEWEST]};
    int i = out->n - 1;
    out->move[i--] = (lev_plan_move){l, level};
    for (const plan_label *a = end; a->option >= 0; a = s->label + a->parent)
        out->move[i--] = (lev_plan_move){a->option, a->level};
    plan_ladder_figures(s->p, x->cost, out);
}

static lev_status accept(plan_search *s, ptrdiff_t from, int l, int level,
                         const plan_state *x, lev_error *err)
{
    if (over_budget(s, x, 0) || loses(s, x->cost))
        return LEV_OK;
    write_ladder(s, s->label + from, level, l, x, &s->ladder);
    if (s->goal == PLAN_FRONT)
        return plan_vectors_add(s->front, x->cost, &s->ladder, err);
    s->found = true;
    memcpy(s->best, x->cost, sizeof s->best);
    return LEV_OK;
}

/* The least level of the last option that clears everything; 0 when none does. All
 * figures rise with the level, so no higher one is wanted. */
static int closing_level(const plan_problem *p, int l, int least, const plan_state *x)
{
    int64_t m = least;
    for (int k = 0; k < 2; k++) {
        if (x->need[k] == 0)
            continue;
        if (p->gather[k][l] == 0)
            return 0;
        const int64_t wanted =
            ((int64_t)x->need[k] + p->gather[k][l] - 1) / p->gather[k][l];
        m = wanted > m ? wanted : m;
    }
    for (int q = 0; q < p->marks; q++)
        while (m <= p->levels &&
               plan_mark_after(p, q, l, x->mark[q], (int)m) > p->mark_end[l])
            m++;
    return m <= p->levels ? (int)m : 0;
}

static lev_status close_ladder(plan_search *s, ptrdiff_t from, int l, int least,
                               lev_error *err)
{
    plan_state end;
    const plan_state *x = &s->label[from].s;
    const int level = closing_level(s->p, l, least, x);
    if (level == 0 || !plan_advance(s->p, l, l, level, x, &end))
        return LEV_OK;
    return accept(s, from, l, level, &end, err);
}

static lev_status add_label(plan_search *s, ptrdiff_t parent, int j, int level, int l,
                            const plan_state *x, const int32_t *least, lev_error *err)
{
    lev_status st = LEV_OK;
    LEV_TRY(make_room((void **)&s->label, s->n, &s->cap, sizeof *s->label, err));
    s->label[s->n] = (plan_label){.s = *x,
                                  .parent = (int32_t)parent,
                                  .next = j >= 0 ? s->head[j] : -1,
                                  .option = (int16_t)j,
                                  .level = (int16_t)level,
                                  .last = (int16_t)l};
    if (j >= 0)
        s->head[j] = (int32_t)s->n;
    LEV_TRY(push(s, order_key(s, x, least), s->n, err));
    s->n++;
out:
    return st;
}

/* Nothing below this level can gain from a higher one. */
static bool is_at_floor(const plan_problem *p, int l, int j, const plan_state *x)
{
    const ptrdiff_t at = (ptrdiff_t)l * p->n + j;
    for (int q = 0; q < p->marks; q++)
        if (x->mark[q] > p->mark_end[l])
            return false;
    return x->need[0] == p->need[0][at] && x->need[1] == p->need[1][at];
}

/* The first level whose bound does not lose. The bound of the rest falls and the price
 * rises with the level, so only a window matters; it is walked, not guessed. */
static lev_status try_levels(plan_search *s, ptrdiff_t from, int j, int least_level,
                             int l, lev_error *err)
{
    lev_status st = LEV_OK;
    const plan_problem *p = s->p;
    for (int m = least_level; m <= p->levels; m++) {
        plan_state x;
        int32_t least[LEV_PLAN_GOALS];
        if (!plan_advance(p, l, j, m, &s->label[from].s, &x))
            break;
        least_figures(s, p->size_class[j], &x, least);
        const bool last_useful = is_at_floor(p, l, j, &x);
        if (!loses(s, least) && least[0] < PLAN_INF &&
            !over_budget(s, &x, least[LEV_PLAN_REMOVAL] - x.cost[LEV_PLAN_REMOVAL]) &&
            !is_covered(s, j, &x))
            LEV_TRY(add_label(s, from, j, m, l, &x, least, err));
        if (last_useful)
            break;
    }
out:
    return st;
}

static bool next_step_loses(const plan_search *s, const plan_state *x, int j,
                            plan_cells at)
{
    int32_t least[LEV_PLAN_GOALS];
    if (s->goal != PLAN_FRONT && !s->found)
        return false;
    for (int k = 0; k < LEV_PLAN_GOALS; k++)
        least[k] = x->cost[k];
    if (s->goal == PLAN_FRONT) {
        for (int k = 0; k < LEV_PLAN_GOALS; k++)
            least[k] += plan_bound_before(s->b, j, k, at);
        return plan_vectors_cover(s->front, least);
    }
    return least[s->goal] + plan_bound_before(s->b, j, s->goal, at) > s->best[s->goal];
}

static lev_status expand(plan_search *s, ptrdiff_t from, lev_error *err)
{
    lev_status st = LEV_OK;
    const plan_problem *p = s->p;
    const int i = s->label[from].option, l = s->label[from].last;
    const plan_state x = s->label[from].s;
    const plan_cells at = plan_bound_cells(s->b, &x);
    const int begin = i >= 0 ? p->class_end[p->size_class[i]] : 0;
    const int end = p->size_class[l] > 0 ? p->class_end[p->size_class[l] - 1] : 0;

    const int closing = plan_arc(p, i, l);
    if (closing != LEV_PLAN_ARC_BARRED)
        LEV_TRY(close_ladder(s, from, l, closing, err));
    for (int j = begin; j < end; j++) {
        if (!p->usable[j])
            continue;
        const int least = plan_arc(p, i, j);
        if (least == LEV_PLAN_ARC_BARRED || next_step_loses(s, &x, j, at))
            continue;
        LEV_TRY(try_levels(s, from, j, least, l, err));
    }
out:
    return st;
}

static lev_status tell(plan_search *s, lev_error *err)
{
    if (s->limits == NULL || s->limits->progress == NULL || s->n < s->told)
        return LEV_OK;
    s->told = s->n + TELL_EVERY;
    if (s->limits->progress(s->limits->payload, s->n) != 0)
        return lev_fail(err, LEV_E_CANCEL, "planning was cancelled");
    return LEV_OK;
}

lev_status plan_search_last(plan_search *s, const plan_bound *b, int l, lev_error *err)
{
    lev_status st = LEV_OK;
    int32_t least[LEV_PLAN_GOALS];
    const plan_state start = plan_begin(s->p, l);
    s->b = b;
    s->n = 0;
    s->heap_n = 0;
    s->told = 0;
    memset(s->head, -1, (size_t)s->p->n * sizeof *s->head);
    least_figures(s, -1, &start, least);
    if (least[0] >= PLAN_INF || loses(s, least))
        return LEV_OK;
    LEV_TRY(add_label(s, -1, -1, 0, l, &start, least, err));
    while (s->heap_n > 0) {
        int64_t key = 0;
        const ptrdiff_t at = pop(s, &key);
        if (s->label[at].dead)
            continue;
        if (s->n >= s->most) {
            s->cut = true;
            break;
        }
        LEV_TRY(tell(s, err));
        const int i = s->label[at].option;
        least_figures(s, i < 0 ? -1 : s->p->size_class[i], &s->label[at].s, least);
        if (!loses(s, least))
            LEV_TRY(expand(s, at, err));
    }
out:
    return st;
}
