/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A child with little room: this very program, told by its first argument what mischief
 * to try. Limits are those of child.h; nothing outside the project is compared. */
#include "unit.h"

#include <signal.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>
#include <unistd.h>

#include "child.h"

enum { GIB = 1 << 30 };

static int say_limits(void)
{
    struct rlimit cpu, file, open, core;
    if (getrlimit(RLIMIT_CPU, &cpu) != 0 || getrlimit(RLIMIT_FSIZE, &file) != 0 ||
        getrlimit(RLIMIT_NOFILE, &open) != 0 || getrlimit(RLIMIT_CORE, &core) != 0)
        return 9;
    (void)printf("%d %d %d %d", (int)cpu.rlim_cur, (int)file.rlim_cur,
                 (int)open.rlim_cur, (int)core.rlim_cur);
    return 0;
}

static int say_input(void)
{
    char text[64] = "";
    const ssize_t n = read(STDIN_FILENO, text, sizeof text - 1);
    (void)fputs(text, stdout);
    (void)fputs("levigate: the file: odd; should be even\n", stderr);
    return n > 0 ? 2 : 9;
}

static int eat(void)
{
    for (int i = 0; i < 64; i++) {
        char *p = malloc(GIB);
        if (p == NULL)
            return 3;
        memset(p, i, 4096);
        (void)fprintf(stdout, "%p", (void *)p); /* so that it is really taken */
    }
    return 0;
}

static int shout(void)
{
    for (int i = 0; i < LEV_CHILD_OUT_BYTES; i++)
        (void)fputs("all of it ", stdout);
    return 0;
}

static int misbehave(const char *how)
{
    if (strcmp(how, "limits") == 0)
        return say_limits();
    if (strcmp(how, "input") == 0)
        return say_input();
    if (strcmp(how, "eat") == 0)
        return eat();
    if (strcmp(how, "shout") == 0)
        return shout();
    if (strcmp(how, "crash") == 0)
        return raise(SIGKILL);
    volatile double x = 1.0;
    while (strcmp(how, "spin") == 0)
        x = 1.0 / (1.0 + x);
    (void)sleep(60);
    return 0;
}

static lev_status run(const char *how, lev_child_ask ask, lev_child_reply *r,
                      lev_error *err)
{
    const char *const args[] = {how, NULL};
    FILE *in = tmpfile();
    assert_non_null(in);
    (void)fputs("from the start", in);
    (void)fflush(in);
    ask.args = args;
    ask.in = fileno(in);
    ask.cpu_s = ask.cpu_s != 0 ? ask.cpu_s : 20;
    ask.wall_s = ask.wall_s != 0 ? ask.wall_s : 40;
    *r = (lev_child_reply){0};
    const lev_status st = lev_child_run(&ask, r, err);
    (void)fclose(in);
    return st;
}

static void it_reads_its_input_and_its_message_is_taken_apart(void **state)
{
    lev_child_reply r;
    lev_error err = {0};
    (void)state;
    assert_ok(run("input", (lev_child_ask){0}, &r, &err), &err);
    assert_int_equal(r.exit, 2);
    assert_string_equal(r.out, "from the start");
    assert_string_equal(r.where, "the file");
    assert_string_equal(r.what, "odd; should be even");
    lev_child_reply_release(&r);
}

static void it_has_the_limits_it_was_given(void **state)
{
    lev_child_reply r;
    lev_error err = {0};
    (void)state;
    assert_ok(run("limits", (lev_child_ask){.cpu_s = 7, .file_bytes = 4096}, &r, &err),
              &err);
    assert_string_equal(r.out, "7 4096 32 0");
    lev_child_reply_release(&r);
}

static void it_cannot_take_all_memory(void **state)
{
    lev_child_reply r;
    lev_error err = {0};
    (void)state;
    if (LEV_CHILD_MEMORY_MB == 0) { /* a sanitizer's build has no such limit */
        assert_int_equal(LEV_CHILD_MEMORY_MB, 0);
        return;
    }
    assert_ok(run("eat", (lev_child_ask){0}, &r, &err), &err);
    assert_int_equal(r.exit, 3);
    lev_child_reply_release(&r);
}

static void nor_all_time(void **state)
{
    lev_child_reply r;
    lev_error err = {0};
    (void)state;
    assert_int_equal(run("spin", (lev_child_ask){.cpu_s = 1}, &r, &err), LEV_E_LIMIT);
    assert_non_null(strstr(err.text, "more time"));
    assert_int_equal(run("sleep", (lev_child_ask){.wall_s = 1}, &r, &err), LEV_E_LIMIT);
    assert_non_null(strstr(err.text, "longer than 1 s"));
}

static void nor_say_too_much(void **state)
{
    lev_child_reply r;
    lev_error err = {0};
    (void)state;
    assert_int_equal(run("shout", (lev_child_ask){0}, &r, &err), LEV_E_LIMIT);
    assert_non_null(strstr(err.text, "report"));
}

static void when_it_dies_we_live(void **state)
{
    lev_child_reply r;
    lev_error err = {0};
    (void)state;
    assert_int_equal(run("crash", (lev_child_ask){0}, &r, &err), LEV_E_LIMIT);
}

static int no_longer(void *to)
{
    int *asked = to;
    return ++*asked < 3;
}

static void it_is_ended_when_nobody_wants_it(void **state)
{
    lev_child_reply r;
    lev_error err = {0};
    int asked = 0;
    (void)state;
    const lev_child_ask ask = {.wanted = no_longer, .to = &asked};
    assert_int_equal(run("sleep", ask, &r, &err), LEV_E_CANCEL);
    assert_int_equal(asked, 3);
}

int main(int argc, char **argv)
{
    if (argc > 1)
        return misbehave(argv[1]);
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(it_reads_its_input_and_its_message_is_taken_apart),
        cmocka_unit_test(it_has_the_limits_it_was_given),
        cmocka_unit_test(it_cannot_take_all_memory),
        cmocka_unit_test(nor_all_time),
        cmocka_unit_test(nor_say_too_much),
        cmocka_unit_test(when_it_dies_we_live),
        cmocka_unit_test(it_is_ended_when_nobody_wants_it),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
