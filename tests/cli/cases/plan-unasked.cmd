# plan opens no store that it was not asked to open
# leaves: s.db
echo "this is no store" > s.db
LEVIGATE_DB=s.db $L plan ex/clock.json > /dev/null
