# a drawer is filled, counted, corrected and listed
# leaves: s.db
export LEVIGATE_DB=s.db
$L drawer add P240 10 --price "1.10 EUR" --size-mm 230x280 --waterproof yes --lot A7 --bought 2025-11-30 --at "2026-01-05 09:00"
$L drawer add P240 5 --size-mm 230x280 --waterproof yes --lot A7 --at "2026-01-06 09:00"
$L drawer add "JIS 1000" 2 --carrier stone --mineral white-alumina --at "2026-01-06 09:01"
$L drawer add P120 6 --carrier disc --size-mm 125 --holes "8 round" --open-coat --anti-clog --price 0.80 --reorder-at 6 --at "2026-01-06 09:02"
$L drawer take P240 3 --at "2026-01-07 10:00"
$L drawer correct P240 11 --reason "one was torn" --at "2026-01-07 11:00"
$L drawer history P240 --at "2026-01-07 12:00"
$L drawer order --at "2026-04-07 12:00"
$L drawer --at "2026-01-07 12:00"
