# a wheel marking is read in the order of ISO 525
$L grit "A 60 K 5 V" --json
