# a re-order point is set, a quarter is taken, sizes in inches
# leaves: s.db
export LEVIGATE_DB=s.db
$L drawer add P240 2 --size-mm 230x280 --price "1.10 EUR" --at "2026-01-05 08:00" > /dev/null
$L drawer set P240 --reorder-at 1.75 --state run-in
$L drawer take P240 0.25 --at "2026-01-06 08:00" --units inch
$L drawer set P240
