# a store of a newer program is refused untouched, exit 3
# leaves: s.db
$L drawer add P240 2 --db s.db --at 2026-01-05 > /dev/null
python3 -c "import sqlite3; c = sqlite3.connect('s.db'); c.execute('PRAGMA user_version=999'); c.commit()"
sum=$(md5sum < s.db)
$L log RB a 1 5m --db s.db
code=$?
test "$sum" = "$(md5sum < s.db)" && exit $code
