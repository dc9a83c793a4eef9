/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Requests and replies as plain values, for both sides. */
#include "http.h"

#include <string.h>

#include "mem.h"

void lev_http_reply_release(lev_http_reply *reply)
{
    if (reply == NULL)
        return;
    lev_mem_free(reply->body);
    *reply = (lev_http_reply){0};
}

const char *lev_http_code(int status)
{
    static const struct {
        int status;
        const char *code;
    } codes[] = {
        {202, "cancelled"}, {400, "not-valid"}, {403, "not-allowed"},
        {404, "not-found"}, {405, "not-so"},    {408, "too-slow"},
        {409, "conflict"},  {413, "too-big"},   {415, "not-so"},
        {421, "not-here"},  {422, "odd"},       {429, "too-many"},
        {503, "busy"},      {507, "no-room"},
    };
    for (size_t i = 0; i < sizeof codes / sizeof *codes; i++)
        if (codes[i].status == status)
            return codes[i].code;
    return "broken";
}

const char *lev_http_param_nth(const lev_http_ask *ask, const char *name, int n)
{
    for (int i = 0; i < ask->params; i++)
        if (strcmp(ask->name[i], name) == 0 && ask->value[i][0] != '\0' && n-- == 0)
            return ask->value[i];
    return NULL;
}

const char *lev_http_param(const lev_http_ask *ask, const char *name)
{
    const char *last = NULL;
    for (int n = 0; lev_http_param_nth(ask, name, n) != NULL; n++)
        last = lev_http_param_nth(ask, name, n);
    return last;
}
