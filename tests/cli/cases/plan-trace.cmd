# a measured trace may be the start, a missing one is one line
# leaves: j.json t.x3p k.json
cp "$TOP/tests/golden/metrology/data/ski_base_ground.x3p" t.x3p
cat > j.json <<EOF
{"levigate": 1, "name": "t", "currency": "EUR", "labour_minor_per_h": 0,
 "faces": [{"name": "a", "material": "brass_260", "size_mm": [100, 50], "shape": "flat",
  "start": {"kind": "trace", "file": "t.x3p"}, "drives": ["hand-wood"],
  "target": {"kind": "limit", "symbol": "Ra", "max_um": 0.8, "rule": "mean"}}]}
EOF
sed 's/t.x3p/u.x3p/' j.json > k.json
$L plan j.json --json | python3 -c "
import json, sys
f = json.load(sys.stdin)[\"faces\"][0]
print(f[\"feasible\"])"
$L plan k.json
