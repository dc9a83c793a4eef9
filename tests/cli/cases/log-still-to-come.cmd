# what is still to come is not logged
$L log RB a 1 5m --at "2199-01-01 10:00" --db s.db
