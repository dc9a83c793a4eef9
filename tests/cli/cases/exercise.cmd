# an exercise is made from a seed, guessed, scored, its key printed again; labels read back
# leaves: k.pdf l.pdf w.pdf
A="$L --db a.db"
$L exercise
$A exercise make planted-line --seed 7 -o w.pdf --copies 3
pdfinfo w.pdf | grep Pages; pdftotext w.pdf - | grep -c "P240"
$A exercise key 1 -o k.pdf --paper Letter > key.txt; pdftotext k.pdf - | grep -c "P240, system P"
codes=$(sed -n 's/^  \([A-Z0-9]*\) .*/\1/p' key.txt)
$A exercise guess 1 1 $(for c in $codes; do echo $c=100; done) > /dev/null
$A exercise score 1
$A exercise guess 1 1 "XX=?"; echo $?
$A drawer add P240 10 --carrier paper > /dev/null
$A drawer labels -o l.pdf; pdftotext l.pdf - | grep "58.5"
rm -f a.db* key.txt
