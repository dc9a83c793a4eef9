# a file that does not fit is named with its line, and nothing is imported
# leaves: a.json
cat > a.json <<EOF
{"levigate_json": 1, "store_schema": 1,
 "tables": {"shop": [{"key": "currency", "value": "EUR"},
                     {"key": "owner", "value": 7}]}}
EOF
$L --db a.db store import a.json; echo $?
$L --db a.db store check | head -1
rm -f a.db*
