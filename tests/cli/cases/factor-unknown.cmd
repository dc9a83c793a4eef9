# a quantity the log does not teach
$L factor speed --db s.db
