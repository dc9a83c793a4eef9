# a material with the source of each figure
$L material brass_260 --json
