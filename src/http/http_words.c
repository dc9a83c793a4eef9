/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the page asks with: rows of data/ whose words a person picks, so that no choice
 * stands in the page that the program does not know. Also the cautions. */
#include "http.h"

#include <string.h>

#include "app_caution.h"
#include "json.h"
#include "lev_tables.h"

/* Each makes an object of one row; *bad is ORed. */
typedef json_t *row_fn(int i, int *bad);

static json_t *list_of(row_fn *row, int n, int *bad)
{
    json_t *list = json_array();
    for (int i = 0; i < n; i++)
        *bad |= lev_json_add(list, row(i, bad));
    return list;
}

static json_t *answer_row(int i, int *bad)
{
    const lev_row_answer *r = &lev_tab_answer[i];
    json_t *o = json_object();
    for (int k = 0; k < LEV_TAB_QUESTION_N; k++)
        if (strcmp(lev_tab_question[k].id, r->question) == 0)
            *bad |= lev_json_put_text(o, "question", lev_tab_question[k].words);
    *bad |= lev_json_put_text(o, "id", r->id);
    *bad |= lev_json_put_text(o, "answer", r->answer);
    *bad |= lev_json_put_text(o, "check", r->check);
    *bad |= lev_json_put_text(o, "more", r->more);
    *bad |= lev_json_put_text(o, "leads_to", r->leads_to);
    *bad |= lev_json_put_text(o, "mark", lev_mark_name(r->mark));
    return o;
}

static json_t *process_row(int i, int *bad)
{
    const lev_row_process_start *r = &lev_tab_process_start[i];
    json_t *o = json_object();
    *bad |= lev_json_put_text(o, "process", r->process);
    *bad |= lev_json_put_text(o, "family", r->family);
    *bad |= lev_json_put_text(o, "variant", r->variant);
    *bad |= lev_json_put_text(o, "words", r->words);
    *bad |= lev_json_put_number(o, "low_um", r->depth_low_um);
    *bad |= lev_json_put_number(o, "high_um", r->depth_high_um);
    *bad |= lev_json_put_number(o, "spacing_mm", r->spacing_high_mm);
    return o;
}

static json_t *felt_row(int i, int *bad)
{
    const lev_row_felt_start *r = &lev_tab_felt_start[i];
    json_t *o = json_object();
    *bad |= lev_json_put_text(o, "id", r->id);
    *bad |= lev_json_put_text(o, "how", r->how);
    *bad |= lev_json_put_text(o, "words", r->words);
    *bad |= lev_json_put_number(o, "low_um", r->depth_low_um);
    *bad |= lev_json_put_number(o, "high_um", r->depth_high_um);
    return o;
}

static json_t *look_row(int i, int *bad)
{
    const lev_row_look *r = &lev_tab_look[i];
    json_t *o = json_object();
    *bad |= lev_json_put_text(o, "id", r->id);
    *bad |= lev_json_put_text(o, "words", r->words);
    *bad |= lev_json_put_text(o, "lay", r->lay);
    *bad |= lev_json_put_text(o, "check", r->check);
    *bad |= lev_json_put_number(o, "low_um", r->ra_low_um);
    *bad |= lev_json_put_number(o, "high_um", r->ra_high_um);
    return o;
}

static json_t *drive_row(int i, int *bad)
{
    const lev_row_drive *r = &lev_tab_drive[i];
    json_t *o = json_object();
    *bad |= lev_json_put_text(o, "id", r->id);
    *bad |= lev_json_put_text(o, "words", r->words);
    *bad |= lev_json_put_text(o, "families", r->families);
    *bad |= lev_json_put_text(o, "shapes", r->shapes);
    return o;
}

static json_t *ready_row(int i, int *bad)
{
    const lev_row_ready *r = &lev_tab_ready[i];
    json_t *o = json_object();
    *bad |= lev_json_put_text(o, "next", r->next);
    *bad |= lev_json_put_text(o, "family", r->family);
    *bad |= lev_json_put_text(o, "coarse", r->last_grit_coarse_label);
    *bad |= lev_json_put_text(o, "fine", r->last_grit_fine_label);
    *bad |= lev_json_put_text(o, "within", r->within);
    *bad |= lev_json_put_text(o, "check", r->check);
    return o;
}

static json_t *coat_row(int i, int *bad)
{
    const lev_row_coat *r = &lev_tab_coat[i];
    json_t *o = json_object();
    *bad |= lev_json_put_text(o, "id", r->id);
    *bad |= lev_json_put_text(o, "words", r->words);
    *bad |= lev_json_put_number(o, "low_um", r->low_um);
    *bad |= lev_json_put_number(o, "high_um", r->high_um);
    return o;
}

static json_t *fault_row(int i, int *bad)
{
    const lev_row_fault *r = &lev_tab_fault[i];
    json_t *o = json_object();
    *bad |= lev_json_put_text(o, "sign", r->sign);
    *bad |= lev_json_put_text(o, "cause", r->cause);
    *bad |= lev_json_put_text(o, "action", r->action);
    return o;
}

static json_t *prompt_row(int i, int *bad)
{
    const lev_row_prompt *r = &lev_tab_prompt[i];
    json_t *o = json_object();
    *bad |= lev_json_put_text(o, "id", r->id);
    *bad |= lev_json_put_text(o, "step", r->step);
    *bad |= lev_json_put_text(o, "words", r->words);
    return o;
}

static json_t *leave_row(int i, int *bad)
{
    const lev_row_leave_alone *r = &lev_tab_leave_alone[i];
    json_t *o = json_object();
    *bad |= lev_json_put_text(o, "words", r->words);
    *bad |= lev_json_put_text(o, "reason", r->reason);
    *bad |= lev_json_put_text(o, "instead", r->instead);
    return o;
}

static json_t *likeness_row(int i, int *bad)
{
    const lev_row_likeness *r = &lev_tab_likeness[i];
    json_t *o = json_object();
    *bad |= lev_json_put_text(o, "words", r->words);
    *bad |= lev_json_put_number(o, "low_um", r->low_um);
    *bad |= lev_json_put_number(o, "high_um", r->high_um);
    return o;
}

static json_t *feel_row(int i, int *bad)
{
    json_t *o = json_object();
    *bad |= lev_json_put_text(o, "word", lev_tab_grit_feel[i].word);
    return o;
}

static json_t *hard_row(int i, int *bad)
{
    json_t *o = json_object();
    *bad |= lev_json_put_text(o, "words", lev_tab_hard_word[i].words);
    *bad |= lev_json_put_text(o, "family", lev_tab_hard_word[i].family);
    return o;
}

lev_status lev_http_words(const lev_http_ask *ask, lev_http_reply *reply,
                          lev_error *err)
{
    static const struct {
        const char *name;
        row_fn *row;
        int n;
    } lists[] = {
        {"answers", answer_row, LEV_TAB_ANSWER_N},
        {"processes", process_row, LEV_TAB_PROCESS_START_N},
        {"felt", felt_row, LEV_TAB_FELT_START_N},
        {"looks", look_row, LEV_TAB_LOOK_N},
        {"drives", drive_row, LEV_TAB_DRIVE_N},
        {"ready", ready_row, LEV_TAB_READY_N},
        {"coats", coat_row, LEV_TAB_COAT_N},
        {"faults", fault_row, LEV_TAB_FAULT_N},
        {"prompts", prompt_row, LEV_TAB_PROMPT_N},
        {"leave_alone", leave_row, LEV_TAB_LEAVE_ALONE_N},
        {"likeness", likeness_row, LEV_TAB_LIKENESS_N},
        {"feel", feel_row, LEV_TAB_GRIT_FEEL_N},
        {"hardness", hard_row, LEV_TAB_HARD_WORD_N},
    };
    json_t *o = lev_json_reply();
    int bad = 0;
    (void)ask;
    for (size_t i = 0; i < sizeof lists / sizeof *lists; i++)
        bad |= lev_json_put(o, lists[i].name, list_of(lists[i].row, lists[i].n, &bad));
    return lev_http_json(reply, o, bad, err);
}

static json_t *caution_json(const lev_row_safety *r, int *bad)
{
    json_t *o = json_object();
    *bad |= lev_json_put_text(o, "id", r->id);
    *bad |= lev_json_put_text(o, "severity", r->severity);
    *bad |= lev_json_put_text(o, "text", r->caution);
    *bad |= lev_json_put_text(o, "when", r->condition);
    *bad |= lev_json_put_text(o, "source", lev_tab_source[r->source].citation);
    *bad |= lev_json_put_text(o, "mark", lev_mark_name(r->mark));
    return o;
}

/* Cautions for a family or material, drives and what goes on afterwards. */
lev_status lev_http_safety(const lev_http_ask *ask, lev_http_reply *reply,
                           lev_error *err)
{
    const lev_row_safety *rows[LEV_CAUTIONS_MAX];
    lev_work_words w = {0};
    json_t *o = lev_json_reply(), *list = json_array();
    int bad = 0;
    if (lev_http_param(ask, "material") != NULL)
        lev_work_material(&w, lev_http_param(ask, "material"));
    for (int i = 0; lev_http_param_nth(ask, "drive", i) != NULL; i++)
        lev_work_drive(&w, lev_http_param_nth(ask, "drive", i),
                       lev_http_param(ask, "wet") != NULL);
    if (lev_http_param(ask, "next") != NULL)
        lev_work_next(&w, lev_http_param(ask, "next"));
    if (lev_http_param(ask, "process") != NULL)
        lev_work_process(&w, lev_http_param(ask, "process"));
    const int n = lev_cautions(&w, rows);
    for (int i = 0; i < n; i++)
        bad |= lev_json_add(list, caution_json(rows[i], &bad));
    bad |= lev_json_put(o, "cautions", list);
    bad |= lev_json_put_text(o, "deference", lev_deference());
    return lev_http_json(reply, o, bad, err);
}
