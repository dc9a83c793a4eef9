# an aught number means three things
$L grit 4/0
