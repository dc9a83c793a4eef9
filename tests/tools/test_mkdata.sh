#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
#
# test_mkdata.sh MKDATA: one folder of tests/tools/mkdata for each refusal, warning and
# success, the expected messages beside the input. ok-* must succeed, all others must
# exit 1 and leave nothing behind. base/ holds the tables every run needs; a folder may
# bring its own source.csv or unit.csv, or leave units out (base-without-unit).
# Prints TAP.
set -u

if [ $# -ne 1 ] || [ ! -x "$1" ]; then
    echo "test_mkdata.sh: usage: no program to test; test_mkdata.sh MKDATA" >&2
    exit 2
fi
mkdata=$(cd "$(dirname "$1")" && pwd)/$(basename "$1")
cd "$(dirname "$0")/mkdata" || exit 2
work=$(mktemp -d) || exit 2
trap 'rm -rf "$work"' EXIT
n=0
failed=0

# result OK NAME: one TAP line, and the difference if there is one.
result() {
    n=$((n + 1))
    if [ "$1" -eq 0 ]; then
        echo "ok $n - $2"
    else
        failed=$((failed + 1))
        echo "not ok $n - $2"
        sed 's/^/# /' "$work/diff"
    fi
}

# run FOLDER: mkdata on the folder's files; status in $status, messages in $work/err.
run() {

    files=
    [ -e "$1/source.csv" ] || files="base/source.csv"
    [ -e "$1/unit.csv" ] || [ -e "$1/base-without-unit" ] || files="$files base/unit.csv"
    rm -rf "$work/out"
    mkdir "$work/out"
    # A list of names without blanks:
    # shellcheck disable=SC2086
    "$mkdata" "$work/out" $files "$1"/*.csv 2>"$work/err"
    status=$?
}

cases=0
for folder in */; do
    name=${folder%/}
    [ "$name" = base ] && continue
    cases=$((cases + 1))
    run "$name"
    bad=0
    diff -u "$name/expected.err" "$work/err" >"$work/diff" || bad=1
    case $name in
    ok-*)
        [ $status -eq 0 ] || bad=1
        if [ -e "$name/expected.out" ]; then
            diff -u "$name/expected.out" "$work/out/lev_tables.c" >>"$work/diff" || bad=1
        fi
        ;;
    *)
        [ $status -eq 1 ] || bad=1
        [ -z "$(ls "$work/out")" ] || bad=1
        ;;
    esac
    result $bad "$name (exit $status)"
done

"$mkdata" "$work/nowhere" base/*.csv 2>"$work/err"
bad=$?
grep -q "No such file or directory; an OUTDIR that exists" "$work/err" && [ $bad -eq 1 ]
result $? "a missing OUTDIR is refused"

"$mkdata" "$work/out" base/*.csv nowhere.csv 2>"$work/err"
bad=$?
grep -q "^mkdata: nowhere.csv: .*; a readable CSV file$" "$work/err" && [ $bad -eq 1 ]
result $? "a missing CSV file is refused"

"$mkdata" 2>"$work/err"
[ $? -eq 1 ]
result $? "a call without arguments is refused"

[ "$cases" -ge 56 ]
result $? "every case was found ($cases)"

echo "1..$n"
[ "$failed" -eq 0 ]
