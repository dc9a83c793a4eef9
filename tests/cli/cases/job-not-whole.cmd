# what cannot be done is said, the rest is frozen, exit 1
# leaves: s.db start.txt
export LEVIGATE_DB=s.db
$L job add ex/clock.json --as clock --at 2026-01-05 > /dev/null
for g in P180 P240 P500; do $L drawer add $g 5 --price "1 EUR" --size-mm 230x280 --waterproof yes --at 2026-01-05 > /dev/null; done
$L job start clock --drawer --at 2026-01-05 > start.txt; echo "exit $?"
sed -n 1,3p start.txt
$L job start clock --json; echo $?
$L job show clock --json | python3 -c "
import json, sys
r = json.load(sys.stdin)
print(list(r)[0], r['jobs'][0]['state'], sorted({s['face'] for s in r['steps']}))"
