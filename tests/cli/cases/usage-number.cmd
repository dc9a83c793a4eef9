# a number out of range says the range
$L --seed -1 grit P220
