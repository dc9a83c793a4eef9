# an absent store reads as an empty drawer and is not made
$L drawer --db s.db
