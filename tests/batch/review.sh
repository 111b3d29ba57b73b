#!/usr/bin/env bash
# SPDX-License-Identifier: GPL-3.0-or-later
#
# Review and comparison from outside: the lists under data/review are told for what they are, honest
# ones pass, wrong use and bad input are told, and nothing is left behind.
set -u
root=$1
batch=$(realpath "$2")
. "$root/tests/support/tap.sh"
work=$(mktemp -d "${TMPDIR:-/tmp}/faintline-review-XXXXXX") || exit 1
trap 'rm -rf "$work"' EXIT
cd "$work" || exit 1
demo=$root/data/demo/nitrous-oxide.comb

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

says() { grep -q -e "$1" said || { echo "expected '$1' in:"; cat said; return 1; }; }

# verdicts CSV: "id verdict parameters that differ" of every line that does not agree. The columns
# before the reason hold no comma.
verdicts()
{
  awk -F, '/^#/ || /^claimed_id/ { next }
    { key = $1 != "" ? $1 : "seen"; verdict[key] = $8; if ($25 == "differs") which[key] = which[key] " " $9 }
    END { for (k in verdict) if (verdict[k] != "agrees") print k, verdict[k] which[k] }' "$1" | sort
}

# What data/review/faults.csv was made with (docs/manual.md, Review): line 12 shifted, 28 too strong,
# 50 too wide, 38 left out, 81 invented.
faults()
{
  status 1 "The list fails" "$batch" review "$demo" --claimed "$root/data/review/faults.csv" \
    --out faults || return 1
  says "^The list fails: lines that differ: 3; lines claimed but not seen: 1; lines seen but not claimed: 1\.$" &&
    says "^80 claimed lines: .* 3 differ, 1 not seen, 1 not claimed (seen only)" &&
    says "7763.59427  Differs: position shifted by 0.00398(24) cm-1" &&
    says "7790.2305.  Seen but not claimed" &&
    says "7773.15000  Claimed but not seen" || return 1
  verdicts faults/review.csv > got
  diff - got <<'END'
12 differs position
28 differs strength
50 differs lorentz
81 not-seen
seen not-claimed
END
}

folder()
{
  [ "$(ls faults | tr '\n' ' ')" = "$files" ] || { ls faults; return 1; }
}

# data/review/finesse.csv: all strengths as a finesse of 11200 gives them, 12000 stated. The value
# that the finesse would need comes within 1 % over the root of 80, four times, of 11200.
finesse()
{
  status 1 "all its strengths differ together" "$batch" review "$demo" \
    --claimed "$root/data/review/finesse.csv" --out finesse || return 1
  says "^80 claimed lines: 80 agree; judged" &&
    says "^The list fails: all its strengths differ together, by the factor 1\.07[0-9]*([0-9]*)\.$" || return 1
  needed=$(sed -n 's/.*The finesse would have to be \([0-9]*\).*/\1/p' said)
  [ "$needed" -gt 11150 ] && [ "$needed" -lt 11250 ] || { cat said; return 1; }
  verdicts finesse/review.csv > got
  [ ! -s got ] || { cat got; return 1; }
}

json()
{
  python3 - <<'END'
import json, hashlib, os
s = json.load(open("faults/summary.json"))
assert s["passed"] is False and s["counts"]["differs"] == 3 and s["counts"]["not-seen"] == 1
assert s["chi2_reduced_claims"] > 50 and 0.9 < s["chi2_reduced_refit"] < 1.1
assert len(s["faults"]) == 3 and not s["systematic"]
t = json.load(open("finesse/summary.json"))
f, = t["systematic"]
assert f["parameter"] == "strength" and f["along"] == "constant" and f["beyond"]
assert abs(f["scale"] - 12000 / 11200) < 4 * f["u(scale)"] + 1e-9
assert [c["input"] for c in f["causes"]][0] == "finesse" and not f["causes"][0]["within"]
root = os.environ["ROOT"]
sha = lambda p: hashlib.sha256(open(p, "rb").read()).hexdigest()
assert s["claimed"]["sha256"] == sha(root + "/data/review/faults.csv")
assert s["inputs"][0]["sha256"] == sha(root + "/data/demo/nitrous-oxide.comb")
END
}

# One command that repeats what was done, of words that are not torn apart; done again, from a shell
# that reads it as it was copied, it gives the same.
repeats()
{
  pdftotext -layout faults/report.pdf text && tr -s ' \n' '  ' <text >flat || return 1
  [ "$(grep -o 'to repeat it' flat | wc -l)" -eq 1 ] &&
    grep -qF 'lines to begin with the claimed lines' flat && ! grep -q 'found in the spectrum' flat &&
    grep -qF ' 3 differ, ' flat || { cat text; return 1; }
  command=$(grep -o 'faintline-batch review .* --out FOLDER' flat)
  [ "$command" = "faintline-batch review nitrous-oxide.comb --claimed faults.csv --confidence 0.95 --coverage 2 --temperature '296.15 K' --pressure '130 Pa' --out FOLDER" ] ||
    { echo "$command"; return 1; }
  "$batch" review "$demo" --claimed "$root/data/review/faults.csv" --set 'pressure=1.30 hPa' --out set >/dev/null 2>&1
  pdftotext -layout set/report.pdf text && tr -s ' \n' '  ' <text >flat
  mkdir -p there && cp -r "$root/data/partition" . && cp "$demo" "$root/data/review/faults.csv" there/ || return 1
  command=$(grep -o 'faintline-batch review .* --out FOLDER' flat)
  (cd there && eval "\"\$batch\" ${command#faintline-batch}" >/dev/null 2>&1)
  cmp set/review.csv there/FOLDER/review.csv || { echo "$command"; return 1; }
}

# The fit's own list comes from this very spectrum: it passes, and that is said to mean little.
own()
{
  "$batch" fit "$demo" --out fitted >/dev/null 2>&1
  status 0 "The list passes" "$batch" review "$demo" --claimed fitted/lines.csv --out own &&
    says "comes from this very spectrum"
}

again()
{
  status 0 "passes" "$batch" review own/analysis.faintline --claimed fitted/lines.csv --out own2 \
    --threads 1 && cmp own/lines.csv own2/lines.csv && cmp own/windows.csv own2/windows.csv
}

# A list that claims half of the lines is no fault with --partial.
partial()
{
  awk '/^#/ || /^id/ || n++ % 2' fitted/lines.csv > half.csv
  status 1 "seen but not claimed: 40" "$batch" review "$demo" --claimed half.csv --out half &&
    status 0 "The list passes" "$batch" review "$demo" --claimed half.csv --out half --partial
}

# The same list in other formats gives the same verdicts.
formats()
{
  for to in json votable; do
    "$batch" convert "$root/data/review/faults.csv" --to $to --out list.$to >/dev/null 2>&1 &&
      status 1 "fails" "$batch" review "$demo" --claimed list.$to --out $to || return 1
    verdicts faults/review.csv > want
    verdicts $to/review.csv > got
    diff want got || return 1
  done
}

wrong_use()
{
  list=$root/data/review/faults.csv
  status 2 "An input is needed" "$batch" review --claimed "$list" --out no &&
    status 2 "\-\-claimed LIST is needed" "$batch" review "$demo" --out no &&
    status 2 "\-\-out FOLDER is needed" "$batch" review "$demo" --claimed "$list" &&
    status 2 "confidence '1'" "$batch" review "$demo" --claimed "$list" --confidence 1 --out no &&
    status 2 "coverage 'x'" "$batch" review "$demo" --claimed "$list" --coverage x --out no &&
    status 2 "temperature '296'" "$batch" review "$demo" --claimed "$list" --temperature 296 --out no &&
    status 2 "no option .speed." "$batch" review "$demo" --claimed "$list" --option speed=1 --out no &&
    status 2 "\-\-date" "$batch" review "$demo" --claimed "$list" --date yesterday --out no &&
    status 2 "\-\-set" "$batch" review "$demo" --claimed "$list" --set pressure=1 --out no &&
    status 2 "Two line lists" "$batch" compare "$list" &&
    status 2 "\-\-figure" "$batch" compare "$list" "$list" --figure no.txt &&
    [ ! -e no ]
}

bad_input()
{
  list=$root/data/review/faults.csv
  echo 'position/cm-1' > empty.csv
  printf 'position/cm-1,strength/(cm/molecule)\n9000,1e-25\n' > away.csv
  printf 'position/cm-1,strength/(cm/molecule)\n7790,faint\n' > bad.csv
  status 3 "None of the 0 claimed lines" "$batch" review "$demo" --claimed empty.csv --out no &&
    status 3 "None of the 1 claimed lines" "$batch" review "$demo" --claimed away.csv --out no &&
    status 3 "bad.csv, line 2" "$batch" review "$demo" --claimed bad.csv --out no &&
    status 3 "nowhere.csv" "$batch" review "$demo" --claimed nowhere.csv --out no &&
    status 3 "nowhere.comb" "$batch" review nowhere.comb --claimed "$list" --out no &&
    status 3 "nowhere.csv" "$batch" compare "$list" nowhere.csv && [ ! -e no ]
}

compares()
{
  status 0 "in both" "$batch" compare "$root/data/review/faults.csv" "$root/data/review/finesse.csv" \
    --out pairs.csv --figure pairs.svg || return 1
  says "79 in both" && says "1 in the first alone, 1 in the second alone" &&
    says "All strengths in the second list are 1.07" && says "7763.59427  position differs" &&
    says "7780.10363  strength differs by .* beside what the lists have in common" && grep -q '^12,,12,,.*,position,' pairs.csv &&
    grep -q '<svg' pairs.svg
}

# series NAME SEED: spectra of data/scenes/series.scene at three pressures and two temperatures.
series()
{
  local seed=$2 under
  for under in "10 hPa,296 K" "25 hPa,296 K" "60 hPa,296 K" "25 hPa,330 K"; do
    "$batch" simulate "$root/data/scenes/series.scene" --out "$1-$((seed - $2)).comb" --seed $seed \
      --set "pressure=${under%,*}" --set "temperature=${under#*,}" >/dev/null || return 1
    seed=$((seed + 1))
  done
}

# The list of one series held against another of the same gas: it passes. With a lower-state energy, a
# broadening and the sign of a shift wrong in three lines these are named and nothing else is.
series_claims()
{
  series a 11 && series b 31 && "$batch" fit a-*.comb --out claims >/dev/null 2>&1 &&
    status 0 "The list passes" "$batch" review b-*.comb --claimed claims/lines.csv --out good || return 1
  python3 - <<'END' || return 1
import csv
rows = open("claims/lines.csv", encoding="utf-8").read().splitlines()
head = next(i for i, r in enumerate(rows) if not r.startswith("#"))
table = list(csv.DictReader(rows[head:]))
def change(line, column, how):
    table[line][column] = repr(how(float(table[line][column])))
change(4, "lower_energy/cm-1", lambda e: e + 60)
change(12, "broadening_mixture/(cm-1/atm)", lambda b: 1.2 * b)
change(20, "shift_mixture/(cm-1/atm)", lambda d: -d)
# The list's own uncertainty, of the detuning, would leave room for either sign.
change(20, "u(shift_mixture)/(cm-1/atm)", lambda u: 1e-4)
with open("faulty.csv", "w", encoding="utf-8", newline="") as out:
    out.write("\n".join(rows[:head]) + "\n")
    writer = csv.DictWriter(out, table[0].keys())
    writer.writeheader()
    writer.writerows(table)
END
  status 1 "lines that differ: 3" "$batch" review b-*.comb --claimed faulty.csv --out bad &&
    says "lower-state energy off by" && says "broadening of the mixture 1\.[12]" &&
    says "shift of the mixture has the wrong sign" || return 1
  verdicts bad/review.csv > got
  [ "$(awk '{ print $2, $3 }' got | sort | tr '\n' ';')" = \
    "differs broadening_mixture;differs lower_energy;differs shift_mixture;" ] || { cat got; return 1; }
}

# One spectrum of them tells neither: each such claim is counted as not examined.
series_single()
{
  status 0 "30 claimed lower-state energies are not examined: one temperature" "$batch" review \
    b-1.comb --claimed claims/lines.csv --out alone --pressure '10 hPa' &&
    says "30 claimed shift coefficients are not examined" &&
    [ "$(grep -c ',lower_energy,cm-1,.*not-examined' alone/review.csv)" -eq 30 ]
}

export ROOT=$root
files="analysis.faintline lines.csv report.pdf residuals.csv review.csv summary.json windows.csv "
check "planted faults are named for what they are" faults
check "the folder is whole" folder
check "the report is a PDF of several pages" \
  bash -c "test \$(pdfinfo faults/report.pdf | sed -n 's/^Pages: *//p') -gt 4"
if command -v pdftotext >/dev/null; then
  check "the report has one command that repeats it" repeats
else
  skip "the command that repeats it" "pdftotext is not installed"
fi
check "a wrong finesse is named, and no single line accused" finesse
if command -v python3 >/dev/null; then
  check "the summaries are JSON with what they should hold" json
else
  skip "the summaries are JSON" "python3 is not installed"
fi
check "a list from the spectrum itself passes, with a warning" own
check "the same again from the analysis on one core" again
check "half a list" partial
check "any format of lists" formats
check "wrong use is told" wrong_use
check "bad input is told" bad_input
check "two lists are compared" compares
if command -v python3 >/dev/null; then
  check "claims of several pressures and temperatures" series_claims
  check "what one spectrum does not tell is said" series_single
else
  skip "claims of several spectra" "python3 is not installed"
fi
finish
