#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# Reads the printed pages back with other people's programs: test_card.sh DEMO MODULE.
# Type sizes: poppler's word boxes are ascent + descent high, 1.164 of the type size for
# the DejaVu fonts (hhea table of the font: 1901 + 483 over 2048).
demo=$1
module=$2
dir=$(mktemp -d) || exit 1
trap 'rm -rf "$dir"' EXIT
n=0

say() { # STATUS SENTENCE
    n=$((n + 1))
    if [ "$1" -eq 0 ]; then
        echo "ok $n - $2"
    else
        echo "not ok $n - $2"
    fi
}

draw() { # WHAT PAPER FORMAT FILE
    "$demo" "$module" "$1" "$2" "$3" "$dir/$4"
}

words() { # FILE FROM TO: text of pages in one line
    pdftotext -f "$2" -l "$3" "$dir/$1" - | tr '\n\f' '  '
}

has() { # TEXT WORDS...: every one stands in the text
    text=$1
    shift
    for word in "$@"; do
        case $text in
        *"$word"*) ;;
        *)
            echo "# missing: $word"
            return 1
            ;;
        esac
    done
}

box_heights() { # FILE: height in points of each word, and the word
    pdftotext -bbox "$dir/$1" - | sed -n \
        's/.*yMin="\([0-9.]*\)".*yMax="\([0-9.]*\)">\(.*\)<\/word>/\1 \2 \3/p'
}

page_count() {
    pdfinfo "$dir/$1" | awk '/^Pages:/ { print $2 }'
}

each_page_says() { # FILE WORDS...
    file=$1
    shift
    pages=$(page_count "$file")
    page=1
    while [ "$page" -le "$pages" ]; do
        has "$(words "$file" "$page" "$page")" "$@" "page $page of $pages" || return 1
        page=$((page + 1))
    done
}

for tool in pdftotext pdfimages pdfinfo pdffonts pdftoppm qpdf xmllint zbarimg; do
    command -v "$tool" >/dev/null || echo "# missing program: $tool"
done

draw job A4 pdf a4.pdf
say $? "a job card is drawn"
draw job A4 pdf again.pdf
cmp -s "$dir/a4.pdf" "$dir/again.pdf"
say $? "the same card twice has the same bytes"

info=$(pdfinfo "$dir/a4.pdf" | tr -s ' ')
has "$info" "PDF version: 1.5" "Page size: 595.276 x 841.89 pts" "Jan 31" " 2026"
say $? "A4 by ISO 216, version 1.5, dated by the caller"

[ "$(pdffonts "$dir/a4.pdf" | awk 'NR > 2 && (/DejaVuSans/ && / yes yes yes /) { good++ }
    NR > 2 { all++ } END { print (all > 0 && all == good) }')" = 1 ]
say $? "every font is embedded, a subset, and has its letters named"

each_page_says a4.pdf "Bracket clock no. 7" 2026-01-31 "levigate 0.1.0" \
    "100 mm over 4 in"
say $? "piece, date, version, page n of m and ruler stand on every page"

front=$(words a4.pdf 1 1)
has "$front" "Front plate, face" "START P240" "P240 on hard block" "To and fro" \
    "Look after" UNTIL "STOP IF" "GATE: full check with lens" \
    "Clean down: hands, cloth, bench" "What went wrong" "More cautions on the last"
say $? "the front of a ladder says what to do"

case $front in
*DANGER*WARNING*WARNING*) danger=0 ;;
*) danger=1 ;;
esac
case $front in
*NOTE*) danger=1 ;;
esac
say $danger "danger stands first, and three cautions are all the front has"

has "$(words a4.pdf 2 3)" "P400 on hard block" "One way only" "Hands on" "Takes off" \
    "More cautions" NOTE Fingerprints "lead: wash" "Local law"
say $? "the back has the other steps, the totals and the other cautions"

has "$(words a4.pdf 2 3)" "A lettered card seen in it, held 50 mm off" Now \
    "After P400" "20 across the lines, 90 along them" "no promise" &&
    [ "$(pdfimages -list "$dir/a4.pdf" | awk '$4 == 4 && $5 == 3' | wc -l)" -eq 2 ]
say $? "before and after stand side by side with what they reflect"

all=$(words a4.pdf 1 99)
has "$all" "NOT THIS WAY" "What would help" "LEAVE IT ALONE" "Do this instead" \
    "GO BACK" "BEFORE YOU TOUCH IT" "18.00 EUR"
say $? "pages that say no, leave it, or go back are there"

faces=$(printf '%s' "$all" | grep -o 'Local law' | wc -l)
[ "$faces" -eq 6 ]
say $? "the line of deference stands on each of the six faces"

box_heights a4.pdf | awk '$2 - $1 < 8 * 1.164 * 0.99 { print "#", $0; bad = 1 }
    END { exit bad + (NR < 200) }'
say $? "no type is under 8 pt"

# Every word of a step but the captions of its squares.
box_heights a4.pdf | awk '
    $3 ~ /^(UNTIL|STOP|Fluid|Look|Usually|Clean|squeaks|unbroken|dish|disc|grey|tails:)$/ {
        seen++
        if ($2 - $1 < 14 * 1.164 * 0.995) { print "#", $0; bad = 1 } }
    END { exit bad + (seen < 40) }'
say $? "instructions are 14 pt or more"

box_heights a4.pdf | awk '$3 ~ /^[1-4]$/ && $2 - $1 > 24 * 1.164 * 0.995 { seen++ }
    END { exit seen != 12 }'
say $? "the twelve step numbers are 24 pt"

draw job A5 pdf a5.pdf
box_heights a5.pdf | awk '
    $3 ~ /^(UNTIL|STOP|Fluid|Look|Usually|Clean|squeaks|unbroken|dish)$/ {
        seen++
        if ($2 - $1 < 14 * 1.164 * 0.995) { print "#", $0; bad = 1 } }
    END { exit bad + (seen < 30) }'
say $? "a small page does not shrink them"

draw job Letter pdf letter.pdf
has "$(pdfinfo "$dir/letter.pdf" | tr -s ' ')" "Page size: 612 x 792 pts"
say $? "Letter is 8.5 x 11 in"

qpdf --qdf --object-streams=disable "$dir/a4.pdf" "$dir/open.pdf"
# Newer drawing libraries write a grey with one number.
grep -aoE '[0-9.]+ [0-9.]+ [0-9.]+ (rg|RG)|[0-9.]+ [gG]( |$)' "$dir/open.pdf" | awk '
    NF > 2 && ($1 != $2 || $2 != $3) { print "#", $0; bad = 1 }
    $1 > 0.4 && $1 < 1 { print "#", $0; bad = 1 }
    END { exit bad + (NR < 100) }'
say $? "no colour, and no grey lighter than 60 % ink"

# 100 mm = 283.465 pt, 4 in = 288 pt.
pages=$(page_count a4.pdf)
[ "$(grep -acE ' 283\.46[0-9]* [0-9.-]+ re' "$dir/open.pdf")" -eq "$pages" ] &&
    [ "$(grep -acE ' 288 [0-9.-]+ re' "$dir/open.pdf")" -eq "$pages" ]
say $? "the ruler of each page is 100 mm and 4 in long"

draw job A4 svg a4.svg && xmllint --noout "$dir/a4.svg" &&
    [ "$(xmllint --xpath 'string(/*/@viewBox)' "$dir/a4.svg" |
        awk -v pages="$pages" '{ print ($4 > 841.8 * pages && $4 < 842 * pages) }')" = 1 ]
say $? "SVG is well formed and holds all pages one below the other"

draw chart A3 pdf chart.pdf &&
    has "$(words chart.pdf 1 1)" "Grits in micrometres" "System A (invented)" \
        "settling tube" A1 "B range" hair "copy paper" "the eye at 250 mm" finer coarser \
        "figures from memory" 500 &&
    has "$(pdfinfo "$dir/chart.pdf" | tr -s ' ')" "1190.55 x 841.89 pts (A3)"
say $? "a wall chart has its bands, likenesses, axis and legend"

draw labels A4 pdf labels.pdf && pdftoppm -r 150 -png "$dir/labels.pdf" "$dir/labels" &&
    [ "$(zbarimg -q --raw "$dir/labels-1.png" 2>"$dir/zbar.log" | sort | tr '\n' ';')" = \
        "4/0 emery;P240 58.5 um;" ] && has "$(words labels.pdf 1 1)" P400 "16 µm"
say $? "labels say what their QR squares say, and one has none"

echo "1..$n"
