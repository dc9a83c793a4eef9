# a folder is no store
# leaves: d
mkdir d
$L job --db d
