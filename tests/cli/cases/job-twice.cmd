# a name stands once
# leaves: s.db
export LEVIGATE_DB=s.db
$L job add ex/clock.json --as clock --at 2026-01-05 > /dev/null
$L job add ex/clock.json --as CLOCK
