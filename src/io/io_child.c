/* SPDX-License-Identifier: GPL-3.0-or-later */
/* See child.h. Between fork and exec only calls that a program of many threads may make
 * there: plain system calls, on values that were made before. */
#include "child.h"

#include <errno.h>
#include <fcntl.h>
#include <poll.h>
#include <signal.h>
#include <stdbool.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>
#include <sys/prctl.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

#include "mem.h"

enum { TICK_MS = 200, FILES = 32, ERR_BYTES = 600, NOT_STARTED = 127 };

/* One end of what the child says. */
typedef struct ear {
    int fd;
    char *s;
    size_t n, cap, max;
    bool full;
} ear;

static void limit(int what, rlim_t most)
{
    const struct rlimit r = {most, most};
    (void)setrlimit((__rlimit_resource_t)what, &r);
}

/* In the child: little room, no new rights, and it goes when we go. */
static void fence(const lev_child_ask *ask)
{
    sigset_t none;
    (void)sigemptyset(&none);
    (void)sigprocmask(SIG_SETMASK, &none, NULL);
    (void)prctl(PR_SET_PDEATHSIG, SIGKILL, 0, 0, 0);
    (void)prctl(PR_SET_NO_NEW_PRIVS, 1, 0, 0, 0);
    limit(RLIMIT_CORE, 0);
    limit(RLIMIT_FSIZE, (rlim_t)ask->file_bytes);
    limit(RLIMIT_NOFILE, FILES);
    limit(RLIMIT_CPU, (rlim_t)ask->cpu_s);
    if (LEV_CHILD_MEMORY_MB > 0) /* 0 where a sanitizer maps everything */
        limit(RLIMIT_AS, (rlim_t)LEV_CHILD_MEMORY_MB << 20);
}

_Noreturn static void become(const lev_child_ask *ask, char *const *argv, int out,
                             int err)
{
    fence(ask);
    if (lseek(ask->in, 0, SEEK_SET) == 0 && dup2(ask->in, STDIN_FILENO) >= 0 &&
        dup2(out, STDOUT_FILENO) >= 0 && dup2(err, STDERR_FILENO) >= 0) {
        (void)close_range(STDERR_FILENO + 1, ~0U, 0);
        (void)execv("/proc/self/exe", argv);
    }
    _exit(NOT_STARTED);
}

static void close_both(int ends[2])
{
    for (int i = 0; i < 2; i++)
        if (ends[i] >= 0)
            (void)close(ends[i]);
    ends[0] = ends[1] = -1;
}

static lev_status start(const lev_child_ask *ask, pid_t *child, ear *out, ear *err_ear,
                        lev_error *err)
{
    static const char name[] = "levigate";
    char *argv[LEV_CHILD_ARGS + 1] = {(char *)(uintptr_t)name};
    int o[2] = {-1, -1}, e[2] = {-1, -1};
    for (int i = 0; ask->args[i] != NULL && i + 1 < LEV_CHILD_ARGS; i++)
        argv[i + 1] = (char *)(uintptr_t)ask->args[i];
    if (pipe2(o, O_CLOEXEC) == 0 && pipe2(e, O_CLOEXEC) == 0)
        *child = fork();
    if (*child == 0)
        become(ask, argv, o[1], e[1]);
    if (*child < 0) {
        close_both(o);
        close_both(e);
        return lev_fail(err, LEV_E_SYSTEM, "no reader could be started: %s",
                        strerror(errno));
    }
    (void)close(o[1]);
    (void)close(e[1]);
    out->fd = o[0];
    err_ear->fd = e[0];
    return LEV_OK;
}

static lev_status room(ear *from, lev_error *err)
{
    void *p = from->s;
    if (from->cap - from->n > 1)
        return LEV_OK;
    const size_t cap = from->cap == 0 ? 4096 : 2 * from->cap;
    const lev_status st = lev_mem_grow(&p, from->cap, cap, 1, err);
    if (st < 0)
        return st;
    from->s = p;
    from->cap = cap;
    return LEV_OK;
}

/* Take what is there; at its end the ear closes. */
static lev_status hear(ear *from, lev_error *err)
{
    const lev_status st = room(from, err);
    if (st < 0)
        return st;
    const ssize_t n = read(from->fd, from->s + from->n, from->cap - from->n - 1);
    if (n > 0)
        from->n += (size_t)n;
    from->s[from->n] = '\0';
    from->full = from->n > from->max;
    if (n == 0 || (n < 0 && errno != EINTR && errno != EAGAIN)) {
        (void)close(from->fd);
        from->fd = -1;
    }
    return LEV_OK;
}

static double seconds(void)
{
    struct timespec t;
    (void)clock_gettime(CLOCK_MONOTONIC, &t);
    return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

/* Until both ends are closed, or one of the limits is met. */
static lev_status listen_to(const lev_child_ask *ask, ear *out, ear *err_ear,
                            lev_error *err)
{
    const double until = seconds() + ask->wall_s;
    while (out->fd >= 0 || err_ear->fd >= 0) {
        struct pollfd p[2] = {{out->fd, POLLIN, 0}, {err_ear->fd, POLLIN, 0}};
        lev_status st = LEV_OK;
        if (poll(p, 2, TICK_MS) > 0) {
            if (p[0].revents != 0)
                st = hear(out, err);
            if (st >= 0 && p[1].revents != 0)
                st = hear(err_ear, err);
        }
        if (st < 0)
            return st;
        if (ask->wanted != NULL && ask->wanted(ask->to) == 0)
            return lev_fail(err, LEV_E_CANCEL, "cancelled");
        if (seconds() > until)
            return lev_fail(err, LEV_E_LIMIT, "it takes longer than %d s", ask->wall_s);
        if (out->full || err_ear->full)
            return lev_fail(err, LEV_E_LIMIT, "the report is longer than is taken");
    }
    return LEV_OK;
}

/* "levigate: where: what" of a message, without its line end. */
static void take_message(const ear *from, lev_child_reply *r)
{
    static const char head[] = "levigate: ";
    const char *s = from->s;
    if (s == NULL || strncmp(s, head, sizeof head - 1) != 0)
        return;
    s += sizeof head - 1;
    const char *colon = strstr(s, ": ");
    const size_t n = colon != NULL ? (size_t)(colon - s) : 0;
    (void)snprintf(r->where, sizeof r->where, "%.*s", (int)n, s);
    s += colon != NULL ? n + 2 : 0;
    (void)snprintf(r->what, sizeof r->what, "%.*s", (int)strcspn(s, "\n"), s);
}

static lev_status judge(int how, lev_child_reply *r, lev_error *err)
{
    if (WIFEXITED(how) && WEXITSTATUS(how) != NOT_STARTED) {
        r->exit = WEXITSTATUS(how);
        return LEV_OK;
    }
    if (WIFEXITED(how))
        return lev_fail(err, LEV_E_SYSTEM, "no reader could be started");
    return lev_fail(err, LEV_E_LIMIT,
                    "reading it takes more time or memory than it may");
}

lev_status lev_child_run(const lev_child_ask *ask, lev_child_reply *reply,
                         lev_error *err)
{
    lev_status st = LEV_OK;
    lev_child_reply r = {0};
    pid_t child = -1;
    int how = 0;
    ear out = {.fd = -1, .max = LEV_CHILD_OUT_BYTES},
        err_ear = {.fd = -1, .max = ERR_BYTES};
    LEV_TRY(start(ask, &child, &out, &err_ear, err));
    st = listen_to(ask, &out, &err_ear, err);
    if (st < 0)
        (void)kill(child, SIGKILL);
    while (waitpid(child, &how, 0) < 0 && errno == EINTR) {
    }
    LEV_TRY(st);
    LEV_TRY(judge(how, &r, err));
    take_message(&err_ear, &r);
    r.out = out.s;
    r.out_n = out.n;
    out.s = NULL;
    *reply = r;
out:
    for (int i = 0; i < 2; i++) {
        const ear *e = i == 0 ? &out : &err_ear;
        if (e->fd >= 0)
            (void)close(e->fd);
        lev_mem_free(e->s);
    }
    return st;
}

void lev_child_reply_release(lev_child_reply *reply)
{
    if (reply == NULL)
        return;
    lev_mem_free(reply->out);
    *reply = (lev_child_reply){0};
}
