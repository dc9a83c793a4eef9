# a line found late has a cause and a way back
$L recover ex/clock.json --face front-plate --found-after 2 --felt needle --json | python3 -c "
import json, sys
d = json.load(sys.stdin)
print(bool(d[\"cause\"]), d[\"back_to_step\"] >= 1, d[\"mode\"] in (\"spot\", \"whole\"), bool(d[\"ladder\"][\"steps\"]))"
