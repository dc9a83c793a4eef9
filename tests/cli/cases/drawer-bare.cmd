# a bare number is never guessed at
$L drawer add 600 2 --db s.db; code=$?
rm -f s.db
exit $code
