# a ladder from the drawer uses nothing else
# leaves: j.json
cat > j.json <<EOF
{"levigate": 1, "name": "t", "currency": "EUR", "labour_minor_per_h": 0,
 "drawer": [
  {"system": "P", "label": "P120", "mineral": "brown-alumina", "carrier": "paper", "size_mm": [230, 280], "count": 3, "price_minor": 90},
  {"system": "P", "label": "P240", "mineral": "silicon-carbide", "carrier": "paper", "size_mm": [230, 280], "count": 3, "price_minor": 110, "waterproof": true},
  {"system": "P", "label": "P400", "mineral": "silicon-carbide", "carrier": "paper", "size_mm": [230, 280], "count": 3, "price_minor": 110, "waterproof": true}],
 "faces": [{"name": "a", "material": "brass_260", "size_mm": [100, 50], "shape": "flat",
  "start": {"kind": "process", "process": "milled"}, "drives": ["hand-wood"],
  "target": {"kind": "limit", "symbol": "Ra", "max_um": 0.8, "rule": "mean"}}]}
EOF
$L plan j.json --json | python3 -c "
import json, sys
f = json.load(sys.stdin)[\"faces\"][0]
labels = {s[\"label\"] for l in f[\"ladders\"] for s in l[\"steps\"] if s[\"kind\"] == \"grit\"}
print(f[\"feasible\"], labels <= {\"P120\", \"P240\", \"P400\"})"
