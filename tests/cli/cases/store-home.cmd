# without --db the store is made under the home folder
# leaves: .local
$L drawer add P240 2 --at 2026-01-05 > /dev/null
find .local -type f
