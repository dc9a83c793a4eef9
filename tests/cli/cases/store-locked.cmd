# a store in use by another is reported after five seconds, exit 3
# leaves: s.db
$L drawer add P240 2 --db s.db --at 2026-01-05 > /dev/null
python3 - "$L" <<PY
import sqlite3, subprocess, sys
c = sqlite3.connect("s.db", isolation_level=None)
c.execute("BEGIN IMMEDIATE")
code = subprocess.run([sys.argv[1], "drawer", "take", "P240", "1", "--db", "s.db"]).returncode
c.execute("ROLLBACK")
c.close()
sys.exit(code)
PY
