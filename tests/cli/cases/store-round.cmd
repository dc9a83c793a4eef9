# the store goes out as JSON and as CSV and comes back the same
# leaves: a.db a.json b.db c.db copy.db t u u.json v.json
A="$L --db a.db"
$A drawer add P240 10 --carrier paper --mineral silicon-carbide --price "1.10 EUR" > /dev/null
$A store export a.json | sed 's/[0-9]* ROWS/N ROWS/'
$L --db b.db store import a.json > /dev/null
$L --db b.db store export t > /dev/null
$L --db c.db store import t > /dev/null
$L --db c.db store export u.json > /dev/null; cmp a.json u.json && echo same
$L --db c.db store export u > /dev/null; diff -r t u && echo "same again"
$L --db c.db store import a.json; echo $?
$A store backup copy.db > /dev/null
$A drawer add P400 1 --carrier paper --mineral silicon-carbide > /dev/null
$A store restore copy.db | tail -1
$A store export v.json > /dev/null; cmp a.json v.json && echo "as it was"
$A store check | head -1 | sed 's/[0-9]* ROWS/N ROWS/'
rm -f a.db.before-restore a.db-* b.db-* c.db-*
