# counts bind: the ladder of one face leaves too little paper for the next
# leaves: j.json
cat > j.json <<JOB
{"levigate": 1, "name": "t", "currency": "EUR", "labour_minor_per_h": 0,
 "drawer": [{"system": "P", "label": "P400", "mineral": "silicon-carbide", "carrier": "paper",
   "size_mm": [230, 280], "count": 1.3, "price_minor": 110, "waterproof": true}],
 "faces": [
 {"name": "a", "material": "brass_260", "size_mm": [400, 250], "shape": "flat",
  "start": {"kind": "process", "process": "milled"}, "drives": ["hand-wood"],
  "target": {"kind": "limit", "symbol": "Ra", "max_um": 0.8, "rule": "mean"}},
 {"name": "b", "material": "brass_260", "size_mm": [400, 250], "shape": "flat",
  "start": {"kind": "process", "process": "milled"}, "drives": ["hand-wood"],
  "target": {"kind": "limit", "symbol": "Ra", "max_um": 0.8, "rule": "mean"}}]}
JOB
$L plan j.json --json | python3 -c "
import json, sys
for f in json.load(sys.stdin)['faces']:
    print(f['name'], f['feasible'], f.get('why_not'), f.get('would_help'), f.get('short_of'), f['from_log_pct'])"
$L plan j.json > /dev/null
