# words are kept in their own spelling, however they were typed
# leaves: s.db
export LEVIGATE_DB=s.db
$L drawer add P240 3 --carrier PAPER --state Run-In > /dev/null; echo $?
$L drawer set 1 --state TIRED > /dev/null; echo $?
$L drawer --json | python3 -c 'import json, sys; print([(m["carrier"], m["state"]) for m in json.load(sys.stdin)["lines"]])'
$L drawer add P240 3 --carrier papre
