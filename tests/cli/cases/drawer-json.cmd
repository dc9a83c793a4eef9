# the drawer as JSON carries no null and the keys of a job's medium
# leaves: s.db
export LEVIGATE_DB=s.db
$L drawer add P400 4 --price "1.20 EUR" --size-mm 230x280 --bought 2025-12-31 --at 2026-01-05 --json
