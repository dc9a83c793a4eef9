# the same face in two jobs under way: the person says which
# leaves: s.db
export LEVIGATE_DB=s.db
for n in 1 2; do
  $L job add ex/clock.json --as "clock-$n" --at 2026-01-05 > /dev/null
  $L job start "clock-$n" --at 2026-01-05 > /dev/null
done
$L log RB case-side 1 2m
$L log RB case-side 1 2m --job clock-2 --at "2026-01-06 08:00"
$L job show clock-2 | sed -n 1,2p
$L job done clock-1
$L job
