# what cannot be is refused, in one line each, and nothing is kept
# leaves: s.db
export LEVIGATE_DB=s.db
$L job add ex/clock.json --as clock --at 2026-01-05 > /dev/null
$L job start clock --at 2026-01-05 > /dev/null
for line in "RB case-side 1 0m" "RB case-side 1 Rz 3 Rt 2" "RB case-side 1 Ra 3 Rq 2" \
  "RB case-side 1 11.9g>12.3g" "RB case-side 1 5m Ra 0,4" "RB case-side 1 20h" \
  "RB case-side 1 9h" "RB door-veneer 1 1m off 95um" "RB case-sid 1 5m" "RB case-side 9 5m" \
  "RB case-side 1 5m nxt-grit" "RB case-side"; do
  $L log "$line"; test $? = 2 || echo "exit is not 2: $line"
done
$L log
