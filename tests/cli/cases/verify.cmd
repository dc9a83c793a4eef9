# data and model of this build, and no store yet
$L verify --db s.db
