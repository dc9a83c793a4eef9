# more is not taken than there is
# leaves: s.db
$L drawer add P240 2 --db s.db --at 2026-01-05 > /dev/null
$L drawer take P240 3 --db s.db
