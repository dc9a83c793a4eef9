# an unknown marking brings the nearest
$L grit P225
