# a veneer nearly through says why and what would help
$L plan ex/thin-door.json --json | python3 -c "
import json, sys
for f in json.load(sys.stdin)[\"faces\"]:
    print(f[\"name\"], f[\"feasible\"], bool(f.get(\"why_not\")), bool(f.get(\"would_help\")))"
$L plan ex/thin-door.json > /dev/null
