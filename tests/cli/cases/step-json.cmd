# one step as JSON has the keys of the contract
$L step --material brass_260 --grit P400 --drive hand-wood --push normal --after P240 --json | python3 -c "
import json, sys
d = json.load(sys.stdin)
for k in (\"Ra_um\", \"deepest_um\", \"removal_um_per_m\", \"clear_um\", \"clear_s\", \"sheet_life_um\"):
    v = d[k]
    print(k, sorted(v) if isinstance(v, dict) else v > 0)"
