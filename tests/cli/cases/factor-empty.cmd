# before anything is logged
$L factor --db s.db
$L factor texture --who RB --material brass --drive hand-wood --db s.db --json | python3 -c "
import json, sys
r = json.load(sys.stdin)
f = r['factors'][0]
print(list(r)[0], r['entries'], f['factor'], f['from_log_pct'], f['material'])"
