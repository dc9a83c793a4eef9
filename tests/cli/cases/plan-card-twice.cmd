# the same card is the same bytes
# leaves: a.pdf b.pdf a.svg
$L plan ex/gilded-dial.json -o a.pdf > /dev/null; echo $?
$L plan ex/gilded-dial.json -o b.pdf > /dev/null; cmp a.pdf b.pdf && echo same
$L plan ex/gilded-dial.json -o a.svg --paper Letter > /dev/null; xmllint --noout a.svg && echo svg
pdftotext a.pdf - | grep -i -m1 "leave it alone"
