/* SPDX-License-Identifier: GPL-3.0-or-later */
/* One request: through the gate, body collected within its limit, then answered. */
#include "http_server.h"

#include <netinet/in.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>
#include <time.h>

#include "http_body.h"
#include "mem.h"
#include "text.h"

/* A request while its body arrives. */
typedef struct request {
    size_t line_n; /* bytes of the address as it was sent */
    bool begun;
    lev_body body;
} request;

typedef struct headers {
    lev_gate_ask *ask;
    size_t bytes; /* of name, colon, blank, value, line end as they are usually sent */
} headers;

static const char *take(const char *name, const char *want, const char *value,
                        const char *old)
{
    return strcasecmp(name, want) == 0 ? value : old;
}

/* MHD_KeyValueIteratorN: note what the gate looks at. */
static enum MHD_Result one_header(void *cls, enum MHD_ValueKind kind, const char *name,
                                  size_t name_n, const char *value, size_t value_n)
{
    headers *h = cls;
    lev_gate_ask *a = h->ask;
    (void)kind;
    if (value == NULL)
        value = "";
    h->bytes += name_n + value_n + 4;
    for (size_t i = 0; i < value_n; i++)
        if ((unsigned char)value[i] < ' ' || value[i] == 0x7f)
            a->strange = true;
    if (strcasecmp(name, "Host") == 0)
        a->hosts++;
    a->host = take(name, "Host", value, a->host);
    a->origin = take(name, "Origin", value, a->origin);
    a->cookie = take(name, "Cookie", value, a->cookie);
    a->type = take(name, "Content-Type", value, a->type);
    a->encoding = take(name, "Content-Encoding", value, a->encoding);
    a->own = take(name, "X-Levigate", value, a->own);
    a->fetch_site = take(name, "Sec-Fetch-Site", value, a->fetch_site);
    return MHD_YES;
}

/* The library ends a value at a zero byte and keeps the rest from us: then the header
 * is longer than what it shows. Extra blanks are allowed for, two a line. */
static bool hides_bytes(struct MHD_Connection *c, const headers *h, int lines,
                        size_t first_line)
{
    const union MHD_ConnectionInfo *info =
        MHD_get_connection_info(c, MHD_CONNECTION_INFO_REQUEST_HEADER_SIZE);
    const size_t line_end = 2, slack = 2 * (size_t)lines;
    return info != NULL && info->header_size > first_line + h->bytes + line_end + slack;
}

static int check(lev_server *s, struct MHD_Connection *c, const char *url,
                 const char *method, const char *version, size_t line_n,
                 const char **why)
{
    lev_gate_ask ask = {.method = method, .path = url};
    headers h = {.ask = &ask};
    const size_t blanks = 4; /* two between the words, line end */
    const int lines = MHD_get_connection_values_n(c, MHD_HEADER_KIND, one_header, &h);
    if (hides_bytes(c, &h, lines, strlen(method) + line_n + strlen(version) + blanks))
        ask.strange = true;
    return lev_gate_check(&s->gate, &ask, why);
}

void *lev_server_line(void *cls, const char *uri, struct MHD_Connection *c)
{
    void *p = NULL;
    (void)cls;
    (void)c;
    if (lev_mem_new(1, sizeof(request), &p, NULL) < 0)
        return NULL;
    request *q = p;
    *q = (request){.line_n = strlen(uri), .body = {.file = -1}};
    return q;
}

/* ---- the body ---- */

enum { BODY_S = 300 }; /* 64 MiB over the poorest of networks */

static int64_t now_ms(void)
{
    struct timespec t;
    (void)clock_gettime(CLOCK_MONOTONIC, &t);
    return 1000 * (int64_t)t.tv_sec + t.tv_nsec / 1000000;
}

/* Who asks, as a number: the last eight bytes of the address. */
static uint64_t asker(struct MHD_Connection *c)
{
    const union MHD_ConnectionInfo *info =
        MHD_get_connection_info(c, MHD_CONNECTION_INFO_CLIENT_ADDRESS);
    struct sockaddr_in in = {0};
    if (info == NULL || info->client_addr == NULL)
        return 0;
    memcpy(&in, info->client_addr, sizeof in);
    return in.sin_addr.s_addr;
}

/* A ladder that is kept costs nothing: it counts when it has to be worked out. */
static bool counts_later(const char *url)
{
    return strcmp(url, "/api/plan") == 0;
}

static enum MHD_Result begin(lev_server *s, struct MHD_Connection *c, const char *url,
                             const char *method, request *q)
{
    lev_error err = {0};
    const char *length =
        MHD_lookup_connection_value(c, MHD_HEADER_KIND, "Content-Length");
    const size_t max = lev_gate_body_max(url);
    const bool writes = strcmp(method, "POST") == 0;
    if (length != NULL && strtoull(length, NULL, 10) > max)
        return lev_server_refuse(c, url, 413, "the body is larger than is taken here");
    if (!writes && length != NULL && strcmp(length, "0") != 0)
        return lev_server_refuse(c, url, 400, "a body has no business here");
    if (writes && !counts_later(url) && !lev_rate_take(&s->rate, asker(c), now_ms()))
        return lev_server_refuse(c, url, 429, "too many at once: wait a second");
    if (lev_body_open(&q->body, max, writes && lev_gate_is_upload(url),
                      now_ms() / 1000 + BODY_S, &err) < 0)
        return lev_server_refuse(c, url, 507, "no room for the file on this machine");
    return MHD_YES;
}

void lev_server_done(void *cls, struct MHD_Connection *c, void **slot,
                     enum MHD_RequestTerminationCode how)
{
    request *q = *slot;
    (void)cls;
    (void)c;
    (void)how;
    if (q == NULL)
        return;
    lev_body_release(&q->body);
    lev_mem_free(q);
    *slot = NULL;
}

/* ---- the answer ---- */

typedef struct params {
    lev_http_ask *ask;
    bool bad;
} params;

static enum MHD_Result one_param(void *cls, enum MHD_ValueKind kind, const char *name,
                                 size_t name_n, const char *value, size_t value_n)
{
    params *p = cls;
    lev_http_ask *a = p->ask;
    (void)kind;
    if (value == NULL)
        value = "";
    p->bad = p->bad || a->params >= LEV_HTTP_PARAMS ||
             !lev_text_is_utf8(name, name_n) || !lev_text_is_utf8(value, value_n) ||
             strlen(value) != value_n;
    if (p->bad)
        return MHD_NO;
    a->name[a->params] = name;
    a->value[a->params++] = value;
    return MHD_YES;
}

typedef struct watcher {
    lev_events *events;
    lev_work *work;
} watcher;

static int tell(void *to, int done, int all, const char *what)
{
    const watcher *w = to;
    return lev_work_step(w->events, w->work, done, all, what);
}

static enum MHD_Result send_reply(struct MHD_Connection *c, lev_http_reply *reply)
{
    struct MHD_Response *r =
        MHD_create_response_from_buffer(reply->n, reply->body, MHD_RESPMEM_MUST_COPY);
    char disposition[160];
    if (r == NULL)
        return MHD_NO;
    (void)MHD_add_response_header(r, "Content-Type", reply->type);
    (void)MHD_add_response_header(r, "Cache-Control",
                                  reply->keep ? "private, max-age=3600" : "no-store");
    if (reply->file != NULL) {
        (void)snprintf(disposition, sizeof disposition,
                       "attachment; filename=\"%.100s\"", reply->file);
        (void)MHD_add_response_header(r, "Content-Disposition", disposition);
    }
    return lev_server_send(c, reply->status, r);
}

static int is_unwanted(void *to, ptrdiff_t begun)
{
    const watcher *w = to;
    return lev_work_search(w->events, w->work, begun, now_ms());
}

/* A name of a work: letters, digits, hyphens. */
static bool is_name(const char *s)
{
    return s == NULL ||
           (strlen(s) < LEV_WORK_NAME &&
            strspn(s, "abcdefghijklmnopqrstuvwxyz0123456789-") == strlen(s));
}

/* What only looks something up needs no turn. */
static enum MHD_Result look_up(lev_server *s, struct MHD_Connection *c,
                               const lev_http_ask *ask)
{
    lev_http_reply reply = {0};
    s->setup->answer(ask, &reply);
    const enum MHD_Result sent = send_reply(c, &reply);
    lev_http_reply_release(&reply);
    return sent;
}

static enum MHD_Result work(lev_server *s, struct MHD_Connection *c, lev_http_ask *ask)
{
    const char *name = lev_http_param(ask, "work");
    lev_http_reply reply = {0};
    if (!is_name(name))
        return lev_server_refuse(c, ask->path, 400, "work: letters, digits, hyphens");
    ask->kept_only = true; /* an answer that is there waits for no turn */
    s->setup->answer(ask, &reply);
    ask->kept_only = false;
    if (reply.status != 0) {
        const enum MHD_Result at_once = send_reply(c, &reply);
        lev_http_reply_release(&reply);
        return at_once;
    }
    if (counts_later(ask->path) && !lev_rate_take(&s->rate, asker(c), now_ms()))
        return lev_server_refuse(c, ask->path, 429, "too many at once: wait a second");
    watcher w = {&s->events, lev_work_begin(&s->events, name)};
    if (w.work == NULL)
        return lev_server_refuse(c, ask->path, 503, "busy: ask again in a moment");
    ask->watch = (lev_http_watch){tell, is_unwanted, &w};
    s->setup->answer(ask, &reply);
    lev_work_end(&s->events, w.work);
    if (reply.news != NULL)
        lev_events_tell(&s->events, reply.news);
    const enum MHD_Result sent = send_reply(c, &reply);
    lev_http_reply_release(&reply);
    return sent;
}

static enum MHD_Result cancel(lev_server *s, struct MHD_Connection *c,
                              const lev_http_ask *ask)
{
    const char *name = lev_http_param(ask, "work");
    if (name == NULL || !lev_work_cancel(&s->events, name))
        return lev_server_refuse(c, ask->path, 404, "no such work");
    return lev_server_refuse(c, ask->path, 202, "cancelled");
}

static enum MHD_Result give_key(lev_server *s, struct MHD_Connection *c)
{
    char cookie[160];
    struct MHD_Response *r = MHD_create_response_from_buffer(0, (void *)(uintptr_t) "",
                                                             MHD_RESPMEM_PERSISTENT);
    if (r == NULL)
        return MHD_NO;
    (void)snprintf(cookie, sizeof cookie, "%s=%s; Path=/; HttpOnly; SameSite=Strict%s",
                   s->gate.cookie, s->gate.key, s->gate.tls ? "; Secure" : "");
    (void)MHD_add_response_header(r, "Set-Cookie", cookie);
    (void)MHD_add_response_header(r, "Location", "/");
    (void)MHD_add_response_header(r, "Cache-Control", "no-store");
    return lev_server_send(c, 303, r);
}

static enum MHD_Result answer(lev_server *s, struct MHD_Connection *c, const char *url,
                              const char *method, const request *q)
{
    lev_http_ask ask = {.method = strcmp(method, "HEAD") == 0 ? "GET" : method,
                        .path = url,
                        .body = q->body.data != NULL ? q->body.data : "",
                        .body_n = q->body.data != NULL ? q->body.n : 0,
                        .file = q->body.file,
                        .shop = s->setup->shop};
    params p = {&ask, false};
    bool found = false;
    if (lev_gate_is_key(&s->gate, url))
        return give_key(s, c);
    (void)MHD_get_connection_values_n(c, MHD_GET_ARGUMENT_KIND, one_param, &p);
    if (p.bad || !lev_text_is_utf8(url, strlen(url)))
        return lev_server_refuse(c, "/api/", 400, "the address is not plain text");
    if (strcmp(ask.method, "GET") == 0) {
        const enum MHD_Result sent = lev_server_asset(c, url, &found);
        if (found)
            return sent;
        if (strcmp(url, "/api/events") == 0)
            return lev_server_listen(s, c);
    } else if (strcmp(url, "/api/cancel") == 0) {
        return cancel(s, c, &ask);
    }
    const bool heavy = strcmp(ask.method, "GET") != 0 ||
                       strncmp(url, "/plain/", 7) == 0 ||
                       strcmp(url, "/api/look") == 0 || strcmp(url, "/api/photo") == 0;
    return heavy ? work(s, c, &ask) : look_up(s, c, &ask);
}

enum MHD_Result lev_server_ask(void *cls, struct MHD_Connection *c, const char *url,
                               const char *method, const char *version,
                               const char *data, size_t *n, void **slot)
{
    lev_server *s = cls;
    request *q = *slot;
    const char *why = "";
    if (q == NULL)
        return MHD_NO; /* no memory for it */
    if (!q->begun) {
        const int refused = check(s, c, url, method, version, q->line_n, &why);
        q->begun = true;
        return refused != 0 ? lev_server_refuse(c, url, refused, why)
                            : begin(s, c, url, method, q);
    }
    if (*n > 0) {
        lev_body_take(&q->body, data, *n, now_ms() / 1000);
        *n = 0;
        return MHD_YES;
    }
    if (q->body.status != 0)
        return lev_server_refuse(c, url, q->body.status, q->body.why);
    return answer(s, c, url, method, q);
}
