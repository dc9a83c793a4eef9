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
    lev_status st = LEV_OK;
    const size_t n = (size_t)p->n;
    *s = (plan_search){.p = p, .limits = limits, .most = USUAL_LABELS};
    for (int k = 0; k < LEV_PLAN_GOALS; k++)
        s->ceiling[k] = PLAN_INF;
    if (limits != NULL && limits->labels > 0)
        s->most = limits->labels;
    LEV_TRY(lev_mem_new(n, sizeof(int32_t), (void **)&s->row, err));
    for (int l = 0; l < p->n; l++)
        if (p->usable[l] && p->t->last[l].allowed)
            s->row[l] = s->rows++;
    LEV_TRY(lev_mem_new((size_t)s->rows * n, sizeof(int32_t), (void **)&s->head, err));
out:
    return st;
}

void plan_search_release(plan_search *s)
{
    if (s == NULL)
        return;
    lev_mem_free(s->label);
    lev_mem_free(s->heap);
    lev_mem_free(s->head);
    lev_mem_free(s->row);
    *s = (plan_search){0};
}

static lev_status make_room(void **p, ptrdiff_t n, ptrdiff_t *cap, size_t size,
                            lev_error *err)
{
    if (n < *cap)
        return LEV_OK;
    const ptrdiff_t wanted = *cap > 0 ? 2 * *cap : 1024;
    const lev_status st = lev_mem_grow(p, (size_t)*cap, (size_t)wanted, size, err);
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

static ptrdiff_t pop(plan_search *s)
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
    return top.label;
}

/* No ladder with at least these figures is wanted any more. */
static bool loses(const plan_search *s, const int32_t *least)
{
    if (s->goal == PLAN_FRONT)
        return plan_vectors_cover(s->front, least);
    if (!s->found)
        return false;
    return s->figure_only ? least[s->goal] >= s->best[s->goal]
                          : plan_compare((lev_plan_goal)s->goal, least, s->best) >= 0;
}

static bool breaks_cap(const plan_search *s, int j, const int32_t *cost, plan_cells at)
{
    for (int k = LEV_PLAN_REMOVAL; k < LEV_PLAN_GOALS; k++)
        if (s->ceiling[k] < PLAN_INF &&
            cost[k] + plan_bound_after(s->b, j, k, at) > s->ceiling[k])
            return true;
    return false;
}

static bool over_budget(const plan_search *s, int j, const plan_state *x, plan_cells at)
{
    if (!s->with_budget)
        return false;
    const int64_t levels = plan_bound_after(s->b, j, LEV_PLAN_REMOVAL, at);
    return x->used + levels * PLAN_EDGE_ONE > s->p->budget;
}

/* No ladder through a state that costs `cost` and has at most `at` behind it is wanted.
 * A single goal looks at its own figure first and at the others only in a tie. */
static bool is_hopeless(const plan_search *s, int j, const int32_t *cost, plan_cells at)
{
    int32_t least[LEV_PLAN_GOALS];
    if (s->goal != PLAN_FRONT) {
        const int32_t x = cost[s->goal] + plan_bound_after(s->b, j, s->goal, at);
        if (x >= PLAN_INF || (s->found && x > s->best[s->goal]) ||
            breaks_cap(s, j, cost, at))
            return true;
        if (!s->found || x < s->best[s->goal])
            return false;
        if (s->figure_only)
            return true;
    }
    for (int k = 0; k < LEV_PLAN_GOALS; k++)
        least[k] = cost[k] + plan_bound_after(s->b, j, k, at);
    return least[0] >= PLAN_INF || least[1] >= PLAN_INF || loses(s, least);
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
    for (int k = LEV_PLAN_REMOVAL; k < LEV_PLAN_GOALS; k++)
        if (s->ceiling[k] < PLAN_INF && a->cost[k] > b->cost[k])
            return false;
    if (s->figure_only)
        return a->cost[s->goal] <= b->cost[s->goal];
    return plan_compare((lev_plan_goal)s->goal, a->cost, b->cost) <= 0;
}

static int32_t *head_of(const plan_search *s, int l, int j)
{
    return s->head + (ptrdiff_t)s->row[l] * s->p->n + j;
}

/* True when a label of the option stands in for x; labels x stands in for die. The list
 * is in order of the short need: those before x may stand in for it, those after it x
 * for them. `before` becomes the label x is to follow, -1 at the head. */
static bool is_covered(plan_search *s, int l, int j, const plan_state *x,
                       int32_t *before)
{
    int32_t *link = head_of(s, l, j);
    *before = -1;
    while (*link >= 0 && s->label[*link].s.need[0] <= x->need[0]) {
        plan_label *a = s->label + *link;
        if (stands_in(s, &a->s, x))
            return true;
        if (a->s.need[0] == x->need[0] && stands_in(s, x, &a->s)) {
            a->dead = true;
            *link = a->next;
            continue;
        }
        *before = *link;
        link = &a->next;
    }
    while (*link >= 0) {
        plan_label *a = s->label + *link;
        if (stands_in(s, x, &a->s)) {
            a->dead = true;
            *link = a->next;
        } else {
            link = &a->next;
        }
    }
    return false;
}

static int64_t order_key(const plan_search *s, int j, const plan_state *x)
{
    const int k = s->goal == PLAN_FRONT ? LEV_PLAN_TIME : s->goal;
    const plan_cells at = plan_bound_cells(s->b, x);
    const int second = plan_second(k);
    const int64_t f = (int64_t)x->cost[k] + plan_bound_after(s->b, j, k, at);
    const int64_t g = (int64_t)x->cost[second] + plan_bound_after(s->b, j, second, at);
    return f * ((int64_t)4 * PLAN_INF) + g; /* g is below 2 PLAN_INF */
}

static void write_moves(const plan_search *s, const plan_label *end, int level, int l,
                        int n, lev_plan_ladder *out)
{
    *out = (lev_plan_ladder){.n = n};
    int i = n - 1;
    out->move[i--] = (lev_plan_move){l, level};
    for (const plan_label *a = end; a->option >= 0; a = s->label + a->parent)
        out->move[i--] = (lev_plan_move){a->option, a->level};
}

bool plan_search_wants(const plan_search *s, const plan_state *x)
{
    return !(s->with_budget && x->used > s->p->budget) &&
           x->cost[LEV_PLAN_REMOVAL] <= s->ceiling[LEV_PLAN_REMOVAL] &&
           x->cost[LEV_PLAN_FEWEST] <= s->ceiling[LEV_PLAN_FEWEST] &&
           !loses(s, x->cost);
}

lev_status plan_search_offer(plan_search *s, const plan_state *x,
                             const lev_plan_ladder *ladder, lev_error *err)
{
    lev_plan_ladder whole = *ladder;
    plan_ladder_figures(s->p, x->cost, &whole);
    if (s->goal == PLAN_FRONT)
        return plan_vectors_add(s->front, x->cost, &whole, err);
    s->ladder = whole;
    s->found = true;
    memcpy(s->best, x->cost, sizeof s->best);
    return LEV_OK;
}

int plan_closing_level(const plan_problem *p, int l, int least, const plan_state *x)
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
    for (int q = 0; q < p->marks; q++) {
        const double *pace = p->pace + ((ptrdiff_t)q * p->n + l) * p->grid;
        const double wanted = pace[x->mark[q]] - pace[p->mark_end[l]];
        if (wanted > p->levels + 1.0)
            return 0;
        m = (int64_t)wanted - 1 > m ? (int64_t)wanted - 1 : m; /* rounding apart */
        while (m <= p->levels &&
               plan_mark_after(p, q, l, x->mark[q], (int)m) > p->mark_end[l])
            m++;
    }
    return m <= p->levels ? (int)m : 0;
}

static lev_status close_ladder(plan_search *s, ptrdiff_t from, int l, int least,
                               lev_error *err)
{
    plan_state end;
    const plan_state *x = &s->label[from].s;
    lev_plan_ladder ladder;
    const int level = plan_closing_level(s->p, l, least, x);
    if (level == 0 || !plan_advance(s->p, l, l, level, x, &end) ||
        !plan_search_wants(s, &end))
        return LEV_OK;
    write_moves(s, s->label + from, level, l, end.cost[LEV_PLAN_FEWEST], &ladder);
    return plan_search_offer(s, &end, &ladder, err);
}

/* A label in its place after `before`; the starts (option -1) stand in no list. */
static lev_status add_label(plan_search *s, plan_label label, int32_t before,
                            lev_error *err)
{
    lev_status st = LEV_OK;
    const int j = label.option;
    LEV_TRY(make_room((void **)&s->label, s->n, &s->cap, sizeof *s->label, err));
    if (j >= 0) {
        int32_t *link =
            before >= 0 ? &s->label[before].next : head_of(s, label.last, j);
        label.next = *link;
        *link = (int32_t)s->n;
    }
    s->label[s->n] = label;
    LEV_TRY(push(s, order_key(s, j, &label.s), s->n, err));
    s->n++;
out:
    return st;
}

/* What option j leaves at best: its own texture and nothing else. */
static plan_state floor_of(const plan_problem *p, int l, int j)
{
    const ptrdiff_t at = (ptrdiff_t)l * p->n + j;
    plan_state x = {.need = {p->need[0][at], p->need[1][at]}};
    for (int q = 0; q < p->marks; q++)
        x.mark[q] = (uint16_t)p->mark_end[l];
    return x;
}

static bool is_at_floor(const plan_problem *p, const plan_state *floor,
                        const plan_state *x)
{
    for (int q = 0; q < p->marks; q++)
        if (x->mark[q] > floor->mark[q])
            return false;
    return x->need[0] == floor->need[0] && x->need[1] == floor->need[1];
}

/* The first level from m on that can matter. The rest to pay falls with the level, so
 * at the price of level m everything below the answer is hopeless. Most often the
 * answer is near: look one, two, four ... levels ahead, then between the last two. */
static int useful_level(const plan_search *s, const plan_state *from, int j, int m,
                        int l, const int32_t *cost)
{
    plan_state x;
    const int most = s->p->levels;
    int low = m, high = most;
    for (int ahead = 0; low < high; ahead = 2 * ahead + 1) {
        const bool gallop = high == most && low + ahead < most;
        const int k = gallop ? low + ahead : (low + high) / 2;
        if (plan_advance(s->p, l, j, k, from, &x) &&
            is_hopeless(s, j, cost, plan_bound_cells(s->b, &x)))
            low = k + 1;
        else
            high = k;
    }
    return low;
}

/* Levels a ladder may have in all. */
static int32_t most_levels(const plan_search *s)
{
    int32_t most = s->ceiling[LEV_PLAN_REMOVAL];
    if (s->goal == LEV_PLAN_REMOVAL && s->found &&
        s->best[LEV_PLAN_REMOVAL] - s->figure_only < most)
        most = s->best[LEV_PLAN_REMOVAL] - s->figure_only;
    return most;
}

/* Levels from the first that can matter up to the last that gains anything, or to where
 * the price alone loses. */
static lev_status try_levels(plan_search *s, ptrdiff_t from, int j, int least, int l,
                             lev_error *err)
{
    lev_status st = LEV_OK;
    const plan_problem *p = s->p;
    const plan_state before = s->label[from].s, floor = floor_of(p, l, j);
    const plan_cells floor_at = plan_bound_cells(s->b, &floor);
    const int32_t most = most_levels(s);
    bool at_floor = false;
    for (int m = least; m <= p->levels && !at_floor;) {
        plan_state x;
        if (!plan_advance(p, l, j, m, &before, &x) ||
            is_hopeless(s, j, x.cost, floor_at))
            break;
        if (most < PLAN_INF) {
            const int next = plan_bound_depth(s->b, j, m, &before, &x, most);
            if (next > m) {
                m = next;
                continue;
            }
        }
        const plan_cells at = plan_bound_cells(s->b, &x);
        if (is_hopeless(s, j, x.cost, at)) {
            m = useful_level(s, &before, j, m + 1, l, x.cost);
            continue;
        }
        at_floor = is_at_floor(p, &floor, &x);
        int32_t place;
        if (!over_budget(s, j, &x, at) && !is_covered(s, l, j, &x, &place)) {
            const plan_label next = {.s = x,
                                     .parent = (int32_t)from,
                                     .option = (int16_t)j,
                                     .level = (int16_t)m,
                                     .last = (int16_t)l};
            LEV_TRY(add_label(s, next, place, err));
        }
        m++;
    }
out:
    return st;
}

static bool next_step_loses(const plan_search *s, const plan_state *x, int j,
                            plan_cells at)
{
    int32_t least[LEV_PLAN_GOALS];
    if (s->goal != PLAN_FRONT) {
        const int32_t rest = plan_bound_before(s->b, j, s->goal, at);
        if (rest >= PLAN_INF ||
            (s->found && x->cost[s->goal] + rest > s->best[s->goal]))
            return true;
        for (int k = LEV_PLAN_REMOVAL; k < LEV_PLAN_GOALS; k++)
            if (s->ceiling[k] < PLAN_INF &&
                x->cost[k] + plan_bound_before(s->b, j, k, at) > s->ceiling[k])
                return true;
        return false;
    }
    for (int k = 0; k < LEV_PLAN_GOALS; k++)
        least[k] = x->cost[k] + plan_bound_before(s->b, j, k, at);
    return least[0] >= PLAN_INF || plan_vectors_cover(s->front, least);
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

/* One start for every last option; its bounds are those of its group. */
static lev_status add_starts(plan_search *s, const plan_groups *g, lev_error *err)
{
    lev_status st = LEV_OK;
    for (int i = 0; i < g->n; i++)
        for (int l = 0; l < g->bound[i].end; l++) {
            if (!plan_is_last_of(g->bound + i, l))
                continue;
            const plan_state start = plan_begin(s->p, l);
            s->b = g->bound + i;
            const plan_label none = {
                .s = start, .parent = -1, .next = -1, .option = -1, .last = (int16_t)l};
            if (!is_hopeless(s, -1, start.cost, plan_bound_cells(s->b, &start)))
                LEV_TRY(add_label(s, none, -1, err));
        }
out:
    return st;
}

static const plan_bound *bound_of(const plan_groups *g, const plan_problem *p, int l)
{
    int i = 0;
    while (g->bound[i].size_class != p->size_class[l])
        i++;
    return g->bound + i;
}

lev_status plan_search_all(plan_search *s, const plan_groups *g, lev_error *err)
{
    lev_status st = LEV_OK;
    s->n = 0;
    s->heap_n = 0;
    s->told = 0;
    s->paused = false;
    memset(s->head, -1, (size_t)s->rows * (size_t)s->p->n * sizeof *s->head);
    LEV_TRY(add_starts(s, g, err));
    while (s->heap_n > 0) {
        const plan_label *top = s->label + pop(s);
        if (top->dead)
            continue;
        if (s->n >= s->most) {
            s->cut = true;
            break;
        }
        if (s->pause > 0 && s->n >= s->pause) {
            s->paused = true;
            break;
        }
        LEV_TRY(tell(s, err));
        s->b = bound_of(g, s->p, top->last);
        if (!is_hopeless(s, top->option, top->s.cost, plan_bound_cells(s->b, &top->s)))
            LEV_TRY(expand(s, top - s->label, err));
    }
out:
    return st;
}
