# bench tests narrow an unmarked abrasive
$L grit --identify like=P220 grains=not-seen
