# a bare number lists every system it may belong to
$L grit 1000 --json
