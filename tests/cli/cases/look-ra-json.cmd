# two finishes as JSON: the finer one reflects more, reads farther, and has its direction
$L look --material brass_360 --ra 0.2 --ra 0.02 --json | python3 -c '
import json, sys
d = json.load(sys.stdin)
a, b = d["states"]
gu = [[g["gu"] for g in s["gloss"] if g["angle_deg"] == 60 and g["lay"] == "across"][0] for s in (a, b)]
print(d["levigate_json"], d["material"], a["label"], b["label"], gu[1] > gu[0], b["readable_mm"] > a["readable_mm"], sorted({g["lay"] for g in a["gloss"]}))'
