/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Which of the ladders of a face is taken: the usual one, one a goal asks for, or any
 * other that nothing beats. */
#include <stdlib.h>
#include <string.h>

#include "app_plan.h"

const lev_face_ladder *lev_plan_chosen(const lev_plan_face_answer *f)
{
    return f->result.ladders > 0 ? &f->result.ladder[f->result.chosen] : NULL;
}

/* A piece of the text. */
typedef struct piece {
    const char *s;
    size_t n;
} piece;

static bool is(piece p, const char *word)
{
    return strlen(word) == p.n && strncmp(p.s, word, p.n) == 0;
}

static bool is_goal(piece p)
{
    static const char *const words[] = {"usual", "time", "money", "removal", "steps"};
    static const char choice[] = "choice-";
    const size_t head = sizeof choice - 1;
    for (size_t i = 0; i < sizeof words / sizeof *words; i++)
        if (is(p, words[i]))
            return true;
    if (p.n <= head || p.n > head + 2 || strncmp(p.s, choice, head) != 0)
        return false;
    for (size_t i = head; i < p.n; i++)
        if (p.s[i] < '0' || p.s[i] > '9')
            return false;
    return p.s[head] != '0';
}

static bool has_face(const lev_job *job, piece name)
{
    for (ptrdiff_t i = 0; i < job->faces_n; i++)
        if (is(name, job->faces[i].name))
            return true;
    return false;
}

lev_status lev_plan_goal_for(const char *text, const lev_job *job, const char *face,
                             lev_arena *arena, const char **out, lev_error *err)
{
    lev_status st = LEV_OK;
    piece found = {"usual", 5};
    *out = NULL;
    for (const char *s = text; s != NULL && *s != '\0';) {
        const size_t n = strcspn(s, ",");
        const char *equals = memchr(s, '=', n);
        const piece name = {s, equals != NULL ? (size_t)(equals - s) : 0};
        const piece goal = {equals != NULL ? equals + 1 : s,
                            equals != NULL ? n - name.n - 1 : n};
        if (!is_goal(goal))
            LEV_TRY(lev_fail(err, LEV_E_USAGE,
                             "goal \"%.*s\" is not known; known: usual, time, money, "
                             "removal, steps, choice-1 and so on",
                             (int)(goal.n < 40 ? goal.n : 40), goal.s));
        if (equals != NULL && !has_face(job, name))
            LEV_TRY(lev_fail(err, LEV_E_USAGE, "goal for \"%.*s\": no such face",
                             (int)(name.n < 40 ? name.n : 40), name.s));
        if (equals == NULL || is(name, face))
            found = goal;
        s += n + (s[n] == ',' ? 1 : 0);
    }
    if (!is(found, "usual"))
        LEV_TRY(lev_arena_text(arena, found.s, found.n, out, err));
out:
    return st;
}

static ptrdiff_t place_of(const lev_job *job, const char *face)
{
    for (ptrdiff_t i = 0; i < job->faces_n; i++)
        if (strcmp(job->faces[i].name, face) == 0)
            return i;
    return 0; /* never so: lev_job_one_face has found it */
}

/* Goals of the faces of `some` alone, out of those told for all of `job`. */
static lev_status goals_of(const lev_job *some, const lev_job *job, const char *told,
                           lev_arena *arena, lev_text *out, lev_error *err)
{
    lev_status st = LEV_OK;
    for (ptrdiff_t i = 0; i < some->faces_n; i++) {
        const char *goal = NULL, *face = some->faces[i].name;
        LEV_TRY(lev_plan_goal_for(told, job, face, arena, &goal, err));
        if (goal != NULL)
            lev_text_print(out, "%s%s=%s", out->n > 0 ? "," : "", face, goal);
    }
    if (out->st < 0)
        LEV_TRY(lev_fail(err, LEV_E_MEMORY, "out of memory"));
out:
    return st;
}

/* The last face of an answer becomes its only one. */
static void keep_last(lev_plan_answer *a)
{
    for (ptrdiff_t i = 0; i + 1 < a->faces; i++)
        lev_face_result_release(&a->face[i].result);
    a->face[0] = a->face[a->faces - 1];
    a->faces = 1;
}

lev_status lev_plan_one_face(const lev_job *job, const char *face,
                             const lev_plan_from *from, lev_plan_answer *out,
                             lev_error *err)
{
    lev_status st;
    lev_job some = {0};
    lev_arena arena = {0};
    lev_text goals = {0};
    lev_plan_answer a = {0};
    lev_plan_from own = *from;
    if (face == NULL && job->faces_n != 1)
        LEV_TRY(lev_fail(err, LEV_E_USAGE,
                         "the job has %td faces; --face NAME says which",
                         job->faces_n));
    if (face == NULL)
        face = job->faces[0].name;
    LEV_TRY(lev_job_one_face(job, face, &some, err));
    if (job->has_drawer || from->has_drawer) { /* faces before it take their paper */
        some.faces = job->faces;
        some.faces_n = place_of(job, face) + 1;
    }
    LEV_TRY(goals_of(&some, job, from->goal, &arena, &goals, err));
    own.goal = lev_text_get(&goals);
    LEV_TRY(lev_app_plan_from(&some, &own, &a, err));
    keep_last(&a);
    a.job = job; /* what it borrowed here does not last */
    a.from = *from;
    *out = a;
out:
    lev_text_release(&goals);
    lev_arena_release(&arena);
    return st;
}
