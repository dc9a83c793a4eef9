# drawer, job, frozen plan, three lines, one undone, factor, recipe on another piece
# leaves: s.db j.json big.json
export LEVIGATE_DB=s.db
cat > j.json <<JOB
{"levigate": 1, "name": "plate", "currency": "EUR", "labour_minor_per_h": 0,
 "faces": [{"name": "top", "material": "brass_360", "size_mm": [100, 80], "shape": "flat",
  "start": {"kind": "grit", "system": "P", "label": "P120"}, "drives": ["hand-wood"],
  "target": {"kind": "limit", "symbol": "Ra", "max_um": 0.5, "rule": "mean"}}]}
JOB
sed 's/100, 80/200, 80/' j.json > big.json
for g in P240 P400 P600; do
  $L drawer add $g 3 --price "1.10 EUR" --size-mm 230x280 --waterproof yes --at "2026-01-05 08:00" > /dev/null
done
$L job add j.json --at "2026-01-05 08:10"
$L job start plate --drawer --at "2026-01-05 08:15"
$L log RB top 2 ~5m 1/2 sheet "412.31g>412.05g" --at "2026-01-05 09:00"
$L log RB top 2 2m keep-at-it --at "2026-01-05 09:20"
$L log "RB top 2 30s next-grit" --at "2026-01-05 09:40"
$L log undo RB --at "2026-01-05 09:41"
$L log "RB top 2 3m 1/2 sheet Ra 0.35 next-grit; lamp from the left" --at "2026-01-05 09:42"
$L log list
$L factor
$L job recipe plate
$L job repeat plate big.json --as plate-2 --at "2026-01-06 08:00"
$L plan j.json --drawer --log --who RB | grep -E "from the log|shop's log"
$L drawer --at "2026-01-06 08:00"
