#!/usr/bin/env bash
# SPDX-License-Identifier: GPL-3.0-or-later
#
# The report and the figures of the headless command, read back by poppler and libxml2; and that an
# analysis computed again is the same to the last bit.
set -u
root=$1
batch=$(realpath "$2")
. "$root/tests/support/tap.sh"
work=$(mktemp -d "${TMPDIR:-/tmp}/faintline-report-XXXXXX") || exit 1
trap 'rm -rf "$work"' EXIT
cd "$work" || exit 1
unset SOURCE_DATE_EPOCH

# Invented lines; $1: number of teeth, $2: number of lines, $3: the observable.
make_scene()
{
  cat <<END
# scene 1
# title = Prüfung «Größe» with a name so long that it does not fit on one line of the title of a report on A4
# repetition_rate = 250 MHz
# u(repetition_rate) = 0.5 Hz
# offset_frequency = 20 MHz
# observable = $3
# temperature = 296 K
# u(temperature) = 0.1 K
# pressure = 1.3 hPa
# u(pressure) = 0.01 hPa
# mole_fraction = 1
# molar_mass = 44.0011 g/mol
# cavity = standing-wave
# coupling = locked
# cavity_length = 59.958 cm
# finesse = 12000
# u(finesse) = 60
# first_tooth = 934000
# teeth = $1
# interleave = 4
# noise = 0.0003
# columns = position/cm-1 strength/(cm/molecule) lorentz_hwhm/cm-1
END
  awk -v n="$2" 'BEGIN { for (i = 0; i < n; i++) printf "%.5f %.1e %.1e\n", 7789.15 + 0.35 * i, (1 + i % 5) * 1e-25, 1.3e-4 }'
}
make_scene 300 5 power >small.scene
make_scene 300 5 field >field.scene
"$batch" simulate small.scene --out small.comb >/dev/null || exit 1
"$batch" simulate field.scene --out field.comb >/dev/null || exit 1
"$batch" fit small.comb --out out --date 2026-05-17T09:30:00Z --figure view.svg --figure view.png \
  --figure view.pdf --view 7789.1:7789.7 >said 2>&1 || { cat said; exit 1; }

has_all()
{
  local text=$1 word
  shift
  for word in "$@"; do
    grep -qF -- "$word" "$text" || { echo "not in the text: $word"; return 1; }
  done
}

if command -v pdftotext >/dev/null && command -v pdfinfo >/dev/null && command -v pdffonts >/dev/null; then
  pdftotext -layout out/report.pdf text
  pdfinfo out/report.pdf >info
  pages=$(sed -n 's/^Pages: *//p' info)
  check "every section has its heading" has_all text Result Measurement Conditions Comb Cavity Method \
    Warnings Provenance "record of changes" "Whole span" "Windows of the fit" Lines \
    "Uncertainty budget of the strongest line" "Uncertainty budget of the strengths" \
    "Quality by window" "Larger correlations"
  # ISO 32000-1, 14.8: one Document of sections with headings, tables of rows of cells.
  check "the structure is tagged" grep -q '^Tagged: *yes' info
  pdfinfo -struct out/report.pdf | sed 's/ (.*//; s/^ *//' | sort | uniq -c | awk '{ print $2, $1 }' >structure
  structure()
  {
    local headings=$(awk '$1 == "H2" { print $2 }' structure)
    has_all structure "Document 1" "H1 1" "Sect $headings" "TOCI $headings" "Link $headings" Table TR TH TD \
      Figure Formula || { cat structure; return 1; }
  }
  check "it is one document, a section to a heading, each in the contents" structure
  # "Lines 9" in the contents: page 9 has that heading.
  contents_lead()
  {
    local entry page n=0
    while read -r entry; do
      page=${entry##* }
      [[ $entry == *…* ]] ||
        pdftotext -f "$page" -l "$page" out/report.pdf - | grep -qxF -- "${entry% *}" ||
        { echo "no heading '${entry% *}' on page $page"; return 1; }
      n=$((n + 1))
    done < <(pdfinfo -struct-text out/report.pdf | grep -A3 '^ *TOCI' | sed -n 's/^ *"\(.*\)"$/\1/p')
    [ $n -gt 10 ] || { echo "only $n entries"; return 1; }
  }
  check "the contents name the right pages" contents_lead
  check "every page is numbered" has_all text "page 1 of $pages" "page $pages of $pages"
  check "the input's checksum is the file's" has_all text "$(sha256sum <small.comb | cut -d' ' -f1)"
  check "title, program and date are in the metadata" has_all info "Prüfung «Größe»" Faintline \
    "Sun May 17 09:30:00 2026"
  fonts_embedded()
  {
    pdffonts out/report.pdf | awk 'NR > 2 { n++; if ($(NF - 4) != "yes") { print; bad = 1 } } END { exit bad || n == 0 }'
  }
  check "all fonts are embedded" fonts_embedded
  # positions as the list has them: value rounded to two digits of the uncertainty
  lines_printed()
  {
    local wanted n=0
    for wanted in $(awk -F, '/^[0-9]/ { u = $3; d = 0; while (u < 9.5 && d < 12) { u *= 10; d++ }
        printf "%.*f(%.0f)\n", d, $2, u }' out/lines.csv); do
      grep -qF "$wanted" text || { echo "$wanted is in the list, not in the report"; return 1; }
      n=$((n + 1))
    done
    [ $n -ge 5 ] || { echo "only $n lines"; return 1; }
  }
  check "every position of the list stands in the report" lines_printed
  "$batch" fit small.comb --out brief --report short >/dev/null 2>&1
  check "the short form is one page" test "$(pdfinfo brief/report.pdf | sed -n 's/^Pages: *//p')" -eq 1
  pdftotext -layout brief/report.pdf brief.text
  check "and has conditions, lines and checksum" has_all brief.text "1.300(10) hPa" "12000(60)" \
    "converged" "$(sha256sum <small.comb | cut -d' ' -f1)"
  "$batch" fit field.comb --out field >/dev/null 2>&1
  check "a field has a report too" has_all <(pdftotext -layout field/report.pdf -) "complex field" Lines
  check "one of a field's short form is one page" \
    test "$("$batch" fit field.comb --out fs --report short >/dev/null 2>&1; pdfinfo fs/report.pdf | sed -n 's/^Pages: *//p')" -eq 1
else
  skip "the report's words" "poppler's tools are not installed"
fi
"$batch" fit small.comb --out bare --report none >/dev/null 2>&1
check "without a report there is none" test ! -e bare/report.pdf -a -s bare/lines.csv

# ---- figures
if command -v xmllint >/dev/null; then
  check "the SVG is well-formed" xmllint --noout view.svg
else
  skip "the SVG is well-formed" "xmllint is not installed"
fi
check "the PNG is one" test "$(head -c 8 view.png | od -An -tx1 | tr -d ' \n')" = 89504e470d0a1a0a
check "the PDF is one" test "$(head -c 5 view.pdf)" = %PDF-
refused()
{
  "$batch" fit small.comb --out never "$@" >said 2>&1
  local got=$?
  [ $got -eq 2 ] && [ ! -e never ] || { echo "status $got, expected 2:"; cat said; return 1; }
}
check "another kind of picture is wrong use" refused --figure view.bmp
check "a range that is none is wrong use" refused --figure view.svg --view 7790:7789
check "a range without a figure is wrong use" refused --view 7789:7790
check "another form of report is wrong use" refused --report long

# ---- the same again, to the last bit
"$batch" fit out/analysis.faintline --out one >/dev/null 2>&1
"$batch" fit out/analysis.faintline --out two >/dev/null 2>&1
for name in lines.csv windows.csv correlations.csv analysis.faintline figure.svg report.pdf; do
  check "computed twice from the analysis, the same bytes: $name" cmp one/$name two/$name
done
rows()
{
  grep -v '^#' "$1/lines.csv"
}
check "and the numbers of the first run" cmp <(rows out) <(rows one)
dated()
{
  SOURCE_DATE_EPOCH=1779010200 "$batch" fit small.comb --out dated >/dev/null 2>&1
  grep -q "2026-05-17T09:30:00Z" dated/lines.csv || { head -5 dated/lines.csv; return 1; }
  cmp dated/report.pdf out/report.pdf
}
check "SOURCE_DATE_EPOCH is the date, and gives what --date gives" dated

# ---- what was changed, and what has changed
recorded()
{
  "$batch" fit out/analysis.faintline --out changed --set 'pressure=1.31 hPa' --option threshold=6 \
    --date 2026-05-18 >/dev/null 2>&1
  has_all changed/analysis.faintline "pressure set from 1.3 hPa to 1.31 hPa" \
    "threshold set from 5 to 6" "time=2026-05-18"
}
check "changes of the command line are in the record" recorded
newer()
{
  sed '/^\[change 1\]/a colour=blue' changed/analysis.faintline >newer.faintline
  sed -i 's|^path=.*|path=small.comb|' newer.faintline
  sed -i 's/^\[end\]/[of tomorrow]\nkey=value\n\n[end]/' newer.faintline
  "$batch" fit newer.faintline --out kept >/dev/null 2>&1
  has_all kept/analysis.faintline "colour=blue" "[of tomorrow]" "key=value" "threshold set from 5 to 6"
}
check "keys of a newer version survive, the record too" newer
told()
{
  sed -i '$d' small.comb
  "$batch" fit out/analysis.faintline --out other >said 2>&1
  has_all said "small.comb has changed since"
}
check "an input that has changed is told" told
finish
