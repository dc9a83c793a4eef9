# a wrong word names the right ones
$L drawer ad P240 2 --db s.db
