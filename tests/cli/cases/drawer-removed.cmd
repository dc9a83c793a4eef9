# a line that is gone keeps its history
# leaves: s.db
export LEVIGATE_DB=s.db
$L drawer add P240 2 --at "2026-01-05 08:00" > /dev/null
$L drawer remove P240 --reason "damp, curled" --at "2026-01-06 08:00"
$L drawer history 1 --at "2026-01-07 08:00"
$L drawer history 2
