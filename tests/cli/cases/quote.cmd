# one figure for the customer, the band for the shop, kept and found again
# leaves: q.json
cat > q.json <<EOF
{"levigate": 1, "name": "covers (invented)", "count": 40, "currency": "EUR", "labour_minor_per_h": 4800,
 "drawer": [
  {"system": "P", "label": "P120", "mineral": "brown-alumina", "carrier": "paper", "size_mm": [230, 280], "count": 90, "price_minor": 90},
  {"system": "P", "label": "P240", "mineral": "silicon-carbide", "carrier": "paper", "size_mm": [230, 280], "count": 90, "price_minor": 110, "waterproof": true},
  {"system": "P", "label": "P400", "mineral": "silicon-carbide", "carrier": "paper", "size_mm": [230, 280], "count": 90, "price_minor": 110, "waterproof": true}],
 "faces": [{"name": "a", "material": "brass_260", "size_mm": [100, 50], "shape": "flat",
  "start": {"kind": "process", "process": "milled"}, "drives": ["hand-wood"],
  "target": {"kind": "limit", "symbol": "Ra", "max_um": 0.8, "rule": "mean", "readings": 3}}]}
EOF
$L quote q.json --corners 4 --holes 2 --edge-m 0.3 --minimum 60
$L quote q.json --customer --count 10 | head -8
$L --db a.db job add q.json > /dev/null
$L --db a.db quote q.json --keep > /dev/null
$L --db a.db quote q.json | tail -2
$L quote q.json --rate "40 USD"; echo $?
$L quote q.json --json | python3 -c "
import json, sys
r = json.load(sys.stdin)
print(abs(sum(l['cost_minor']['p50'] for l in r['lines']) - r['price']['cost_minor']['p50']) < 1e-6, r['feasible'], len(r['breaks']))"
rm -f a.db*
