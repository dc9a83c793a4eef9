# an odd entry is kept when it is meant
# leaves: s.db
export LEVIGATE_DB=s.db
$L job add ex/clock.json --as clock --at 2026-01-05 > /dev/null
$L job start clock --at 2026-01-05 > /dev/null
$L log RB case-side 1 9h --sure --at "2026-01-05 18:00"
