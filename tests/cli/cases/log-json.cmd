# an entry as JSON: what was read, what it taught, what comes next
# leaves: s.db
export LEVIGATE_DB=s.db
$L job add ex/clock.json --as clock --at 2026-01-05 > /dev/null
$L job start clock --at 2026-01-05 > /dev/null
$L log "RB front-plate 2 14m next-grit" --at "2026-01-05 18:00" --json | python3 -c "
import json, sys
text = sys.stdin.read()
r = json.loads(text)
print(list(r), 'null' in text, 'NaN' in text)
print(r['entry'])
print([(f['quantity'], round(f['actual_over_model'], 2)) for f in r['learned']], r['next']['number'])"
