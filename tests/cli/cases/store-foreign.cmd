# somebody else's file is refused
# leaves: s.db
echo "this is no store of ours, only a note" > s.db
$L drawer --db s.db
