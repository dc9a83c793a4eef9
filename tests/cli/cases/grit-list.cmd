# all systems are listed
$L grit --list
