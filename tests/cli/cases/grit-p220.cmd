# a P grit says its size first and the check second
$L grit P220
