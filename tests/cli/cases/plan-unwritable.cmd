# a card that cannot be written leaves nothing behind
$L plan ex/gilded-dial.json -o nowhere/card.pdf
