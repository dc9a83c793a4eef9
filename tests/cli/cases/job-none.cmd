# a job that is not there
$L job show clock --db s.db
