# without a job under way nothing is logged
$L log RB case-side 1 5m --db s.db; code=$?
rm -f s.db
exit $code
