/* SPDX-License-Identifier: GPL-3.0-or-later */
/* See http_gate.h. A page of another site can make a browser send requests here: it
 * cannot choose Host (so a name rebound to this address is refused), nor hide Origin on
 * a write, nor add a header of ours without asking first, which is never answered. */
#include "http_gate.h"

#include <stdio.h>
#include <string.h>
#include <strings.h>

#include "http.h"

void lev_gate_allow(lev_gate *gate, const char *name, int port)
{
    const int usual = gate->tls ? 443 : 80;
    if (gate->hosts + 2 > LEV_GATE_HOSTS)
        return;
    (void)snprintf(gate->host[gate->hosts++], LEV_GATE_HOST, "%.80s:%d", name, port);
    if (port == usual)
        (void)snprintf(gate->host[gate->hosts++], LEV_GATE_HOST, "%.80s", name);
}

static bool host_allowed(const lev_gate *gate, const char *host)
{
    for (int i = 0; i < gate->hosts; i++)
        if (strcasecmp(gate->host[i], host) == 0)
            return true;
    return false;
}

static bool origin_allowed(const lev_gate *gate, const char *origin)
{
    const char *scheme = gate->tls ? "https://" : "http://";
    const size_t n = strlen(scheme);
    return strncasecmp(origin, scheme, n) == 0 && host_allowed(gate, origin + n);
}

/* Equal, in a time that does not tell where they differ. */
static bool same_key(const char *key, const char *given, size_t n)
{
    unsigned char differ = strlen(key) == n ? 0 : 1;
    for (size_t i = 0; key[i] != '\0'; i++)
        differ = (unsigned char)(differ | (key[i] ^ (i < n ? given[i] : '\0')));
    return differ == 0;
}

bool lev_gate_is_key(const lev_gate *gate, const char *path)
{
    return gate->key[0] != '\0' && strncmp(path, "/k/", 3) == 0 &&
           same_key(gate->key, path + 3, strlen(path + 3));
}

static bool cookie_holds_key(const lev_gate *gate, const char *cookie)
{
    const size_t name = strlen(gate->cookie);
    for (const char *p = cookie; p != NULL && *p != '\0';) {
        p += strspn(p, "; ");
        const size_t n = strcspn(p, ";");
        if (n > name && strncmp(p, gate->cookie, name) == 0 && p[name] == '=' &&
            same_key(gate->key, p + name + 1, n - name - 1))
            return true;
        p += n;
    }
    return false;
}

static bool is_read(const char *method)
{
    return strcmp(method, "GET") == 0 || strcmp(method, "HEAD") == 0;
}

static int check_write(const lev_gate *gate, const lev_gate_ask *ask, const char **why)
{
    if (strcmp(ask->method, "POST") != 0) {
        *why = "not done this way here";
        return 405;
    }
    if (ask->origin != NULL && !origin_allowed(gate, ask->origin)) {
        *why = "a page of another site may not write here";
        return 403;
    }
    if (ask->own == NULL) {
        *why = "the header X-Levigate is missing";
        return 403;
    }
    if (ask->encoding != NULL) {
        *why = "a body must be sent as it is, not packed";
        return 415;
    }
    const bool upload = lev_gate_is_upload(ask->path);
    const char *need = upload ? "application/octet-stream" : "application/json";
    if (ask->type == NULL || strncasecmp(ask->type, need, strlen(need)) != 0) {
        *why = upload ? "the body should be application/octet-stream"
                      : "the body should be application/json";
        return 415;
    }
    return 0;
}

int lev_gate_check(const lev_gate *gate, const lev_gate_ask *ask, const char **why)
{
    *why = "";
    if (ask->strange) {
        *why = "a header holds a control byte";
        return 400;
    }
    if (ask->hosts != 1 || ask->host == NULL || !host_allowed(gate, ask->host)) {
        *why = "this server does not go by that name";
        return ask->hosts == 1 ? 421 : 400;
    }
    if (gate->key[0] != '\0' && !lev_gate_is_key(gate, ask->path) &&
        !cookie_holds_key(gate, ask->cookie)) {
        *why = "scan the square in the terminal again: it holds the key to this page";
        return 403;
    }
    if (strncmp(ask->path, "/api/", 5) == 0 && ask->fetch_site != NULL &&
        strcasecmp(ask->fetch_site, "cross-site") == 0) {
        *why = "a page of another site may not ask here";
        return 403;
    }
    return is_read(ask->method) ? 0 : check_write(gate, ask, why);
}

bool lev_gate_is_upload(const char *path)
{
    return strcmp(path, "/api/trace") == 0 || strcmp(path, "/api/photo") == 0;
}

size_t lev_gate_body_max(const char *path)
{
    return strcmp(path, "/api/photo") == 0 ? (size_t)LEV_HTTP_PHOTO_BYTES
           : lev_gate_is_upload(path)      ? (size_t)LEV_HTTP_UPLOAD_BYTES
                                           : (size_t)LEV_HTTP_BODY_BYTES;
}
