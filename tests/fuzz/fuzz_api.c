/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Any bytes as a request: the first line is the address with its query, the rest the
 * body of a POST. Always one whole reply, never a fault. */
#include "fuzz.h"

#include "http.h"
#include "json.h"

static void split_query(char *query, lev_http_ask *ask)
{
    for (char *p = strtok(query, "&"); p != NULL && ask->params < LEV_HTTP_PARAMS;
         p = strtok(NULL, "&")) {
        char *value = strchr(p, '=');
        if (value == NULL)
            continue;
        *value = '\0';
        ask->name[ask->params] = p;
        ask->value[ask->params++] = value + 1;
    }
}

static int stop_at_once(void *to, int done, int all, const char *what)
{
    (void)to;
    (void)done;
    (void)all;
    (void)what;
    return 1; /* planning has targets of its own */
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    char *text = calloc(1, size + 1);
    lev_http_reply reply = {0};
    if (text == NULL)
        return 0;
    memcpy(text, data, size);
    char *body = strchr(text, '\n'), *query = NULL;
    if (body != NULL)
        *body++ = '\0';
    query = strchr(text, '?');
    if (query != NULL)
        *query++ = '\0';
    lev_http_ask ask = {.method = body != NULL ? "POST" : "GET",
                        .path = text,
                        .body = body != NULL ? body : "",
                        .body_n = body != NULL ? strlen(body) : 0,
                        .file = -1,
                        .shop = ":memory:", /* empty each time */
                        .watch = {.step = stop_at_once}};
    if (query != NULL)
        split_query(query, &ask);
    const bool draws =
        strstr(text, "chart") != NULL || strstr(text, "card") != NULL ||
        strstr(text, "look") != NULL || strstr(text, "trace") != NULL ||
        strstr(text, "labels") != NULL || strstr(text, "worksheet") != NULL ||
        strstr(text, "photo") != NULL || strstr(text, "plain/plan") != NULL;
    if (lev_text_is_utf8((const char *)data, size) && !draws) {
        lev_json_init();
        lev_http_answer(&ask, &reply);
        if (reply.status < 200 || reply.body == NULL)
            abort();
        lev_http_reply_release(&reply);
    }
    free(text);
    return 0;
}
