# a medium the drawer has not is refused with the nearest
# leaves: s.db
$L drawer add P240 2 --db s.db --at 2026-01-05 > /dev/null
$L drawer take P220 1 --db s.db
