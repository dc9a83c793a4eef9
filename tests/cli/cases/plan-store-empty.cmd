# planning from an empty drawer says so
$L plan ex/clock.json --drawer --db s.db
