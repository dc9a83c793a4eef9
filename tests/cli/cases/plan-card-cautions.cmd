# what every face asks for stands once, on the last page of the card; each front keeps its own
$L plan ex/clock.json -o card.pdf > /dev/null
pdftotext -layout card.pdf card.txt
echo "$(grep -c 'Cautions for every face of this job' card.txt) $(grep -c 'Choosing a respirator' card.txt) $(grep -c 'Grit or swarf in an eye' card.txt)"
$L plan $TOP/tests/cli/jobs/plate.json --goal plate=time -o card.pdf > /dev/null
pdftotext -layout card.pdf card.txt
echo "$(grep -c 'Cautions for every face of this job' card.txt) $(grep -c 'numb fingers' card.txt)"
rm card.pdf card.txt
