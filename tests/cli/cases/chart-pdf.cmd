# the wall chart holds every system, the same bytes twice
# leaves: a.pdf b.pdf
$L chart -o a.pdf && $L chart -o b.pdf && cmp a.pdf b.pdf && pdftotext a.pdf - > /dev/null
for word in P1200 '#8000' D301 0000 M40 FFF; do
    pdftotext a.pdf - | grep -q -- "$word" && echo "$word"
done
