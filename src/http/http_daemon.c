/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Start and stop of the server, the key, and what the terminal shows. */
#include "http_server.h"

#include <arpa/inet.h>
#include <errno.h>
#include <ifaddrs.h>
#include <net/if.h>
#include <netinet/in.h>
#include <qrencode.h>
#include <signal.h>
#include <spawn.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/random.h>
#include <unistd.h>

extern char **environ;

enum {
    CONNECTIONS = 128,   /* a shop has a dozen screens */
    CONNECTIONS_IP = 64, /* one browser opens six */
    TIMEOUT_S = 15,      /* a client that sends nothing for so long is gone */
    MEMORY = 48 << 10,   /* headers of one connection */
    RUNNING_MAX = 2      /* plans worked out at once; the others wait */
};

__attribute__((visibility("default"))) const lev_http_api *lev_http_entry(void);

static lev_status make_key(lev_gate *gate, lev_error *err)
{
    static const char letters[] = "abcdefghijkmnpqrstuvwxyz23456789"; /* 32 of them */
    unsigned char dice[LEV_GATE_KEY - 1];
    if (getrandom(dice, sizeof dice, 0) != (ssize_t)sizeof dice)
        return lev_fail(err, LEV_E_SYSTEM, "no random numbers to make a key from");
    for (size_t i = 0; i < sizeof dice; i++)
        gate->key[i] = letters[dice[i] % 32];
    return LEV_OK;
}

/* Every address of this machine; the first one goes to `shown`. */
static void allow_addresses(lev_gate *gate, int port, char shown[LEV_GATE_HOST])
{
    struct ifaddrs *all = NULL;
    char name[80] = "";
    if (getifaddrs(&all) != 0)
        return;
    for (const struct ifaddrs *a = all; a != NULL; a = a->ifa_next) {
        char text[INET_ADDRSTRLEN];
        if (a->ifa_addr == NULL || a->ifa_addr->sa_family != AF_INET ||
            (a->ifa_flags & IFF_LOOPBACK) != 0)
            continue;
        struct sockaddr_in in;
        memcpy(&in, a->ifa_addr, sizeof in);
        if (inet_ntop(AF_INET, &in.sin_addr, text, sizeof text) == NULL)
            continue;
        lev_gate_allow(gate, text, port);
        if (shown[0] == '\0')
            (void)snprintf(shown, LEV_GATE_HOST, "%s", text);
    }
    freeifaddrs(all);
    if (gethostname(name, sizeof name - 8) == 0 && name[0] != '\0') {
        lev_gate_allow(gate, name, port);
        (void)strncat(name, ".local", sizeof name - strlen(name) - 1);
        lev_gate_allow(gate, name, port);
    }
}

/* The address as a square for a phone's camera: two rows of it a line of text. */
static void show_square(const char *address)
{
    QRcode *q = QRcode_encodeString(address, 0, QR_ECLEVEL_M, QR_MODE_8, 1);
    if (q == NULL)
        return;
    const int w = q->width;
    for (int y = -2; y < w + 2; y += 2) {
        (void)fputs("  \033[30;47m", stdout);
        for (int x = -2; x < w + 2; x++) {
            const bool across = x >= 0 && x < w;
            const bool up = across && y >= 0 && y < w && (q->data[y * w + x] & 1) != 0;
            const bool down = across && y + 1 >= 0 && y + 1 < w &&
                              (q->data[(y + 1) * w + x] & 1) != 0;
            (void)fputs(up && down ? "\u2588"
                        : up       ? "\u2580"
                        : down     ? "\u2584"
                                   : " ",
                        stdout);
        }
        (void)fputs("\033[0m\n", stdout);
    }
    QRcode_free(q);
}

static void open_browser(const char *address)
{
    pid_t child = 0;
    char opener[] = "xdg-open", copy[LEV_GATE_HOST + 60];
    (void)snprintf(copy, sizeof copy, "%s", address);
    char *argv[] = {opener, copy, NULL};
    if (posix_spawnp(&child, opener, NULL, NULL, argv, environ) != 0)
        (void)fprintf(stderr, "levigate: serve: no browser found; open %s\n", address);
}

static void tell(lev_server *s, const char *lan_host, int port)
{
    char address[LEV_GATE_HOST + 60];
    const char *scheme = s->gate.tls ? "https" : "http";
    const bool key = s->gate.key[0] != '\0';
    (void)snprintf(address, sizeof address, "%s://%s:%d/%s%s", scheme,
                   lan_host[0] != '\0' ? lan_host : "127.0.0.1", port, key ? "k/" : "",
                   s->gate.key);
    (void)printf("%s\n", address);
    if (s->setup->lan) {
        if (isatty(STDOUT_FILENO) != 0)
            show_square(address);
        (void)printf("Anyone with this address can use the page. Stop with Ctrl-C.\n");
    }
    (void)fflush(stdout);
    if (s->setup->open)
        open_browser(address);
}

static struct MHD_Daemon *start(lev_server *s)
{
    const lev_http_setup *setup = s->setup;
    const struct sockaddr_in at = {
        .sin_family = AF_INET,
        .sin_port = htons((uint16_t)setup->port),
        .sin_addr.s_addr = htonl(setup->lan ? INADDR_ANY : INADDR_LOOPBACK)};
    const unsigned flags = MHD_USE_THREAD_PER_CONNECTION |
                           MHD_USE_INTERNAL_POLLING_THREAD | MHD_USE_POLL |
                           (s->gate.tls ? MHD_USE_TLS : 0U);
    const struct MHD_OptionItem tls[] = {
        {MHD_OPTION_HTTPS_MEM_CERT, 0, (void *)(uintptr_t)setup->certificate},
        {MHD_OPTION_HTTPS_MEM_KEY, 0, (void *)(uintptr_t)setup->secret},
        {MHD_OPTION_END, 0, NULL}};
    const struct MHD_OptionItem none[] = {{MHD_OPTION_END, 0, NULL}};
    return MHD_start_daemon(flags, (uint16_t)setup->port, NULL, NULL, lev_server_ask, s,
                            MHD_OPTION_SOCK_ADDR, (const struct sockaddr *)&at,
                            MHD_OPTION_URI_LOG_CALLBACK, lev_server_line, s,
                            MHD_OPTION_NOTIFY_COMPLETED, lev_server_done, s,
                            MHD_OPTION_CONNECTION_LIMIT, (unsigned)CONNECTIONS,
                            MHD_OPTION_PER_IP_CONNECTION_LIMIT,
                            (unsigned)CONNECTIONS_IP, MHD_OPTION_CONNECTION_TIMEOUT,
                            (unsigned)TIMEOUT_S, MHD_OPTION_CONNECTION_MEMORY_LIMIT,
                            (size_t)MEMORY, MHD_OPTION_STRICT_FOR_CLIENT, 1,
                            MHD_OPTION_ARRAY, s->gate.tls ? tls : none, MHD_OPTION_END);
}

static lev_status serve_until(lev_server *s, const sigset_t *stop, lev_error *err)
{
    int got = 0;
    char shown[LEV_GATE_HOST] = "";
    errno = 0;
    struct MHD_Daemon *d = start(s);
    if (d == NULL && (errno == EADDRINUSE || errno == EACCES))
        return lev_fail(err, LEV_E_SYSTEM,
                        "port %d is taken or not allowed; --port 0 takes a free one",
                        s->setup->port);
    if (d == NULL)
        return lev_fail(err, LEV_E_SYSTEM, "the server did not start%s",
                        s->gate.tls ? "; are certificate and key a pair in PEM?" : "");
    const union MHD_DaemonInfo *info =
        MHD_get_daemon_info(d, MHD_DAEMON_INFO_BIND_PORT);
    const int port = info != NULL ? info->port : s->setup->port;
    lev_gate_allow(&s->gate, "127.0.0.1", port);
    lev_gate_allow(&s->gate, "localhost", port);
    lev_gate_allow(&s->gate, "[::1]", port);
    (void)snprintf(s->gate.cookie, sizeof s->gate.cookie, "levigate-%d", port);
    if (s->setup->lan)
        allow_addresses(&s->gate, port, shown);
    tell(s, shown, port);
    (void)sigwait(stop, &got);
    lev_events_stop(&s->events);
    MHD_stop_daemon(d);
    return LEV_OK;
}

static lev_status serve(const lev_http_setup *setup, lev_error *err)
{
    lev_server s = {.setup = setup, .gate = {.tls = setup->certificate != NULL}};
    sigset_t stop;
    (void)sigemptyset(&stop);
    (void)sigaddset(&stop, SIGINT);
    (void)sigaddset(&stop, SIGTERM);
    (void)pthread_sigmask(SIG_BLOCK, &stop, NULL); /* inherited by every thread */
    if (setup->lan) {
        const lev_status st = make_key(&s.gate, err);
        if (st < 0)
            return st;
    }
    lev_events_init(&s.events, RUNNING_MAX);
    lev_rate_init(&s.rate);
    const lev_status st = serve_until(&s, &stop, err);
    lev_rate_release(&s.rate);
    lev_events_release(&s.events);
    return st;
}

const lev_http_api *lev_http_entry(void)
{
    static const lev_http_api api = {LEV_HTTP_API, serve};
    return &api;
}
