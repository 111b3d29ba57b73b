#!/usr/bin/env bash
# SPDX-License-Identifier: GPL-3.0-or-later
#
# Line lists from any format to any other and back, read by programs that are not ours: xmllint,
# astropy where it is there, Python's json. Spectra to comb tables. Wrong use, bad input.
set -u
root=$1
batch=$(realpath "$2")
. "$root/tests/support/tap.sh"
work=$(mktemp -d "${TMPDIR:-/tmp}/faintline-convert-XXXXXX") || exit 1
trap 'rm -rf "$work"' EXIT
cd "$work" || exit 1

# status WANTED WORDS COMMAND...: the exit status, and the words among what it said.
status()
{
  local wanted=$1 words=$2 got
  shift 2
  "$@" >said 2>&1
  got=$?
  [ "$got" -eq "$wanted" ] && grep -q -e "$words" said ||
    { echo "status $got, expected $wanted with '$words', of: $*"; cat said; return 1; }
}

# The lines that the demo is made from, with labels and strengths at 296 K, and the conditions.
make_list() { "$batch" simulate "$root/data/scenes/demo.scene" --out demo.comb --truth demo.csv; }

converts()
{
  local format
  for format in csv record votable json; do
    status 0 "80 lines, $format" "$batch" convert demo.csv --to "$format" --out "demo.$format" ||
      return 1
  done
}

# From each format that holds all of it the same bytes of CSV come back.
comes_back()
{
  local format
  for format in csv votable json; do
    "$batch" convert "demo.$format" --to csv --out "back.$format" && cmp demo.csv "back.$format" ||
      return 1
  done
}

records_are_160_columns()
{
  [ "$(wc -l < demo.record)" = 80 ] && awk 'length ($0) != 160 { print; bad = 1 } END { exit bad }' demo.record
}

# Position, strength at 296 K and lower-state energy at their columns are those of the CSV.
records_hold_the_list()
{
  awk -F, '!/^#/ && $1 ~ /^[0-9]/ { printf "%12.6f%10.3E%10s\n", $2, $9, $14 == "" ? "" : sprintf ("%.4f", $14) }' \
    demo.csv | sed 's/ 0.000E+00/          /' > want
  cut -c4-25,46-55 demo.record > got
  diff want got
}

losses_are_said()
{
  status 0 "demo.record: The record has no place for: .*lorentz_hwhm" \
    "$batch" convert demo.csv --to record --out demo.record &&
    grep -q "80 lines: the position at zero pressure is not known" said &&
    grep -q "molecule_number" said && grep -q "Einstein coefficient was left blank" said
}

# With what the list does not say: number of molecule and isotopologue, A and weights. That A is the
# one of the formula is the business of tests/lines.
settings()
{
  status 0 "80 lines" "$batch" convert demo.csv --to record --out full.record \
    --set molecule_number=4 --set isotopologue_number=1 --set natural_abundance=0.99 \
    --set partition_sums="$root/data/partition/nitrous-oxide.constants" --set degeneracy_factor=1 ||
    return 1
  grep -q "4 lines: the Einstein coefficient\|molecule_number" said && { cat said; return 1; }
  awk '{ a = substr ($0, 26, 10); g1 = substr ($0, 147, 7); g2 = substr ($0, 154, 7)
      j = substr ($0, 119, 3); if (j ~ /[0-9]/) { n++; if (!(a + 0 > 0) || g2 + 0 != 2 * j + 1 || g1 + 0 < 1) bad = 1 } }
    END { exit bad || n < 70 }' full.record && [ "$(cut -c1-3 full.record | sort -u)" = " 41" ] &&
    "$batch" convert full.record --to record --out again.record 2>/dev/null &&
    [ "$(cut -c1-3 again.record | sort -u)" = " 41" ]
}

json_is_json()
{
  python3 - demo.json demo.csv <<'END'
import csv, json, sys
lines = json.load(open(sys.argv[1]))["lines"]
rows = list(csv.DictReader(l for l in open(sys.argv[2]) if not l.startswith("#")))
assert len(lines) == len(rows) == 80
for line, row in zip(lines, rows):
    known = {k: v for k, v in row.items() if v != ""}
    assert set(line) == set(known), (line, known)
    for key, value in known.items():
        assert line[key] == (value if isinstance(line[key], str) else float(value)), key
END
}

python_with_astropy()
{
  local python
  for python in python3 /usr/bin/python3; do
    command -v $python >/dev/null && $python -c 'import astropy' 2>/dev/null && { echo $python; return; }
  done
}

# Every unit is one of VOUnits, every ucd one of the controlled vocabulary, every column described;
# values and conditions are those of the CSV.
votable_is_read()
{
  "$1" - demo.votable demo.csv <<'END'
import csv, sys, warnings
import astropy.units as u
from astropy.io.votable import parse
from astropy.io.votable.ucd import check_ucd
warnings.simplefilter("error")
warnings.filterwarnings("ignore", message=".*W22.*")
votable = parse(sys.argv[1], verify="exception")
table = votable.get_first_table()
rows = list(csv.reader(l for l in open(sys.argv[2]) if not l.startswith("#")))
heads, rows = rows[0], rows[1:]
assert [h.split("/")[0] for h in heads] == [f.name for f in table.fields]
assert len(table.array) == 80
for field, head in zip(table.fields, heads):
    assert field.description, field.name
    assert check_ucd(field.ucd, check_controlled_vocabulary=True), field.ucd
    if field.unit is not None:
        assert not isinstance(field.unit, u.UnrecognizedUnit), field.unit
        u.Unit(field.unit.to_string("vounit"), format="vounit")
    if head.endswith("/cm-1"):
        assert field.unit == u.cm**-1
    if head.endswith("/(cm/molecule)"):
        assert field.unit == u.cm
for name in ("position", "strength"):
    k = [f.name for f in table.fields].index(name)
    assert all(a == float(r[k]) for a, r in zip(table.array[name], rows)), name
params = {p.name: p for p in table.params}
assert params["temperature"].value == 296.15 and params["temperature"].unit == u.K
assert params["pressure"].unit == u.hPa
assert params["u(pressure)"].value == 0.01
END
}

from_analysis()
{
  "$batch" fit demo.comb --out fitted >/dev/null 2>&1 || return 1
  status 0 "lines, votable" "$batch" convert fitted/analysis.faintline --to votable --out a.vot &&
    grep -q "what each source contributes" said &&
    "$batch" convert a.vot --to csv --out a.csv 2>/dev/null &&
    "$batch" convert fitted/lines.csv --to csv --out b.csv 2>/dev/null && cmp a.csv b.csv &&
    [ "$(grep -c '^[0-9]' a.csv)" = "$(grep -c '^[0-9]' fitted/lines.csv)" ]
}

given_lines()
{
  local format
  for format in csv record votable json; do
    "$batch" fit demo.comb --lines "demo.$format" --out "fit-$format" >/dev/null 2>&1
    [ $? -le 1 ] && [ "$(grep -c '^[0-9]' "fit-$format/lines.csv")" = 80 ] || return 1
  done
}

assigned_lists()
{
  local format
  for format in csv record votable json; do
    status 0 "assigned in 1 band" "$batch" assign "demo.$format" --given \
      --constants "$root/data/levels/nitrous-oxide-ground.constants" --out "assign-$format" || return 1
  done
}

spectra()
{
  { echo "frequency/Hz,transmission"; grep -v '^#' demo.comb |
      awk '{ printf "%.0f,%.6f\n", $1, $2 / $3 }'; } > foreign.txt
  status 0 "teeth, comb" "$batch" convert demo.comb --to comb --out again.comb &&
    "$batch" convert again.comb --to comb --out third.comb >/dev/null &&
    cmp again.comb third.comb &&
    status 0 "teeth, comb" "$batch" convert foreign.txt --to comb --out foreign.comb \
      --set "temperature=296 K" &&
    grep -q "^# temperature = 296 K" foreign.comb &&
    sed '1a # recorded by night' demo.comb > remark.comb &&
    status 0 "1 line of remarks" "$batch" convert remark.comb --to comb --out no-remark.comb &&
    cmp no-remark.comb again.comb
}

# JCAMP-DX: of a compound file the one that is meant; what has no place is said.
jcamp()
{
  { printf '##TITLE= both\n##DATA TYPE= LINK\n##BLOCKS= 2\n'
    for title in first second; do
      printf '##TITLE= %s\n##JCAMP-DX= 4.24\n##ORIGIN= nowhere\n##XUNITS= 1/CM\n' $title
      printf '##YUNITS= TRANSMITTANCE\n##FIRSTX= 7790\n##LASTX= 7790.19\n##NPOINTS= 20\n'
      printf '##TEMPERATURE= 23 C\n##XYDATA= (X++(Y..Y))\n'
      awk 'BEGIN { for (i = 0; i < 20; i++) printf "%.2f %.4f\n", 7790 + i / 100, 0.99 + (i % 7) / 1000 }'
      printf '##END=\n'
    done
    printf '##END=\n'; } > both.dx
  status 3 "block=2 (second, 20 points, 7790 to 7790.19 1/CM, line 35)" \
    "$batch" convert both.dx --to comb --out no &&
    status 0 "20 teeth, comb" "$batch" convert both.dx --to comb --out second.comb --columns block=2 &&
    grep -q "left aside: ORIGIN" said && grep -q "^# title = second" second.comb &&
    grep -q "^# temperature = 23 degC" second.comb &&
    [ "$(grep -vc '^#' second.comb)" = 20 ] &&
    status 3 "is a spectrum and no line list" "$batch" convert both.dx --to csv --out no && [ ! -e no ]
}

# The spectrum of an analysis, under its conditions; packed by gzip it is the same analysis.
analyses()
{
  gzip -c fitted/analysis.faintline > fitted/packed.faintline.gz &&
    status 0 "teeth, comb" "$batch" convert fitted/analysis.faintline --to comb --out taken.comb &&
    grep -q "has no place for lines" said && cmp taken.comb again.comb &&
    status 0 "teeth, comb" "$batch" convert fitted/packed.faintline.gz --to comb --out packed-taken.comb &&
    cmp taken.comb packed-taken.comb &&
    status 0 "teeth, comb" "$batch" convert fitted/analysis.faintline --to comb --out other.comb \
      --set "temperature=300 K" && grep -q "^# temperature = 300 K" other.comb &&
    status 0 "lines, csv" "$batch" convert fitted/packed.faintline.gz --to csv --out c.csv &&
    status 0 "lines, csv" "$batch" convert fitted/analysis.faintline --to csv --out d.csv &&
    cmp c.csv d.csv &&
    status 0 "lines" "$batch" fit fitted/packed.faintline.gz --out fitted-again &&
    grep '^[0-9]' fitted/lines.csv > want && grep '^[0-9]' fitted-again/lines.csv | cmp - want &&
    status 3 "holds 1 spectrum; a number from 1 to 1" "$batch" convert fitted/analysis.faintline \
      --to comb --out no --spectrum 2 &&
    status 2 "holds its own map" "$batch" convert fitted/analysis.faintline --to comb --out no \
      --columns tooth && [ ! -e no ]
}

# What gzip has packed is read as it is, whatever it holds and is called.
packed()
{
  local format
  for format in csv record votable json; do
    gzip -c "demo.$format" > "packed.$format" &&
      status 0 "80 lines" "$batch" convert "packed.$format" --to csv --out packed-out.csv &&
      "$batch" convert "demo.$format" --to csv --out plain-out.csv >/dev/null 2>&1 &&
      cmp packed-out.csv plain-out.csv || return 1
  done
  gzip -c demo.comb > packed.comb.gz && gzip -c foreign.txt > packed.txt.gz &&
    status 0 "teeth, comb" "$batch" convert packed.comb.gz --to comb --out from-packed.comb &&
    cmp from-packed.comb again.comb &&
    status 0 "teeth, comb" "$batch" convert packed.txt.gz --to comb --out foreign-packed.comb \
      --set "temperature=296 K" && cmp foreign-packed.comb foreign.comb &&
    head -c 5000 packed.comb.gz > part.gz &&
    status 3 "part.gz is compressed (gzip) and ends too early" \
      "$batch" convert part.gz --to comb --out no && [ ! -e no ] &&
    head -c 40000000 /dev/zero | gzip > bomb.gz &&
    status 3 "unpacks to more than" "$batch" convert bomb.gz --to csv --out no && [ ! -e no ]
}

wrong_use()
{
  status 2 "One input is needed" "$batch" convert --to csv --out no &&
    status 2 "One input is needed, found 2" "$batch" convert demo.csv demo.json --to csv --out no &&
    status 2 "\-\-to FORMAT is needed" "$batch" convert demo.csv --out no &&
    status 2 "\-\-to 'xml': expected csv" "$batch" convert demo.csv --to xml --out no &&
    status 2 "\-\-out FILE is needed" "$batch" convert demo.csv --to csv &&
    status 2 "molecule_number is '0'" "$batch" convert demo.csv --to record --out no \
      --set molecule_number=0 &&
    status 2 "no key 'colour'" "$batch" convert demo.csv --to record --out no --set colour=red &&
    status 2 "for --to comb" "$batch" convert demo.csv --to csv --out no --columns a && [ ! -e no ]
}

bad_input()
{
  echo '{"lines": [{"position/cm-1": }]}' > bad.json
  status 3 "bad.json, line 1, column 30" "$batch" convert bad.json --to csv --out no &&
    status 3 "is a spectrum and no line list" "$batch" convert demo.comb --to csv --out no &&
    status 3 "demo.csv is a line list and no spectrum" "$batch" convert demo.csv --to comb --out no &&
    status 3 "nowhere" "$batch" convert nowhere --to csv --out no &&
    status 3 "folder does not exist" "$batch" convert demo.csv --to csv --out none/no && [ ! -e no ]
}

# Lines of the demo spectrum get their lower-state energies by the assignment; then the strengths at
# 296 K are the ones that a fit which knows the energies gives.
strengths_of_assigned()
{
  local sums=$root/data/partition/nitrous-oxide.constants
  "$batch" fit "$root/data/demo/nitrous-oxide.comb" --report none --out found >/dev/null 2>&1 &&
    "$batch" assign found/lines.csv --constants "$root/data/levels/nitrous-oxide-ground.constants" \
      --out assigned >/dev/null 2>&1 &&
    "$batch" convert assigned/lines.csv --to csv --out completed.csv --set partition_sums="$sums" >/dev/null 2>&1 &&
    "$batch" fit "$root/data/demo/nitrous-oxide.comb" --lines assigned/lines.csv --report none \
      --out known >/dev/null 2>&1 || return 1
  for list in completed.csv known/lines.csv; do
    awk -F, '/^id,/ { for (i = 1; i <= NF; i++) if ($i == "strength_296K/(cm/molecule)") c = i; next }
      !/^#/ { print $1, $c }' $list
  done | awk 'NF < 2 { next } $1 in s { n++; d = $2 / s[$1] - 1; if (d < -1e-4 || d > 1e-4) bad++; next } { s[$1] = $2 }
    END { print n, "compared,", bad + 0, "differ"; exit !(n > 70) || bad > 0 }'
}

make_list >/dev/null
check "a list is converted to every format" converts
check "it comes back from every format" comes_back
check "records have 160 columns" records_are_160_columns
check "records hold the list" records_hold_the_list
check "what is lost is said" losses_are_said
check "--set completes records" settings
check "strengths at 296 K of an assigned list" strengths_of_assigned
if command -v xmllint >/dev/null; then
  check "the VOTable is well-formed" xmllint --noout demo.votable
else
  skip "the VOTable is well-formed" "xmllint is not installed"
fi
python=$(python_with_astropy)
if [ -n "$python" ]; then
  check "the VOTable is read elsewhere, with its units" votable_is_read "$python"
else
  skip "the VOTable is read elsewhere, with its units" "astropy is not installed"
fi
check "the JSON is read elsewhere" json_is_json
check "the lines of an analysis" from_analysis
check "fit --lines takes every format" given_lines
check "assign takes every format" assigned_lists
check "spectra to comb tables" spectra
check "JCAMP-DX to comb tables" jcamp
check "the spectrum of an analysis, and packed ones" analyses
check "packed input" packed
check "wrong use" wrong_use
check "bad input" bad_input
finish
