#!/usr/bin/env bash
# SPDX-License-Identifier: GPL-3.0-or-later
#
# Several spectra at once, from scene to line list: what was put into data/scenes/series.scene must
# come out again within its uncertainties.
set -u
root=$1
batch=$(realpath "$2")
. "$root/tests/support/tap.sh"
work=$(mktemp -d "${TMPDIR:-/tmp}/faintline-series-XXXXXX") || exit 1
trap 'rm -rf "$work"' EXIT
cd "$work" || exit 1
scene=$root/data/scenes/series.scene

# record NAME SEED SETTINGS...: one spectrum of the scene.
record()
{
  local name=$1 seed=$2 setting arguments=()
  shift 2
  for setting in "$@"; do arguments+=(--set "$setting"); done
  "$batch" simulate "$scene" --out "$name" --seed "$seed" "${arguments[@]}" >/dev/null
}

# status WANTED WORDS COMMAND...: the exit status, and the words among what it said.
status()
{
  local wanted=$1 words=$2 got
  shift 2
  "$@" >said 2>&1
  got=$?
  if [ "$got" -ne "$wanted" ]; then
    echo "status $got, expected $wanted, of: $*"
    cat said
    return 1
  fi
  grep -qi -e "$words" said || { echo "expected '$words' in:"; cat said; return 1; }
}

# within SIGMA LIST MOLE_FRACTION COLUMN...: every line of the scene is in the list, and each of its
# columns is within that many standard uncertainties of the scene's value. Of a mixture the scene's
# value is the mean of self and foreign by their shares. 4.5 is exceeded by a normal deviate seven
# times in a million.
within()
{
  python3 - "$scene" "$@" <<'END'
import csv, sys

scene, sigma, path, share = sys.argv[1], float(sys.argv[2]), sys.argv[3], float(sys.argv[4])
wanted = sys.argv[5:]
heads, truth = None, []
for row in open(scene, encoding="utf-8"):
    if row.startswith("# columns = "):
        heads = row[len("# columns = "):].split()
    elif heads and not row.startswith("#") and row.strip():
        truth.append(dict(zip(heads, row.split())))
found = list(csv.DictReader(r for r in open(path, encoding="utf-8") if not r.startswith("#")))
assert len(found) == len(truth), f"{len(found)} lines, the scene has {len(truth)}"
for line, real in zip(found, truth):
    for column in wanted:
        name, slash, unit = column.partition("/")
        if name.endswith("_mixture"):
            kind = name[: -len("_mixture")]
            value = share * float(real[f"{kind}_self/{unit}"]) + (1 - share) * float(
                real[f"{kind}_foreign/{unit}"])
        elif name == "position_zero":
            value = float(real["position/cm-1"])
        else:
            value = float(real[column])
        got, u = float(line[column]), float(line[f"u({name}){slash}{unit}"])
        assert 0 < u < float("inf"), f"{column} of {real['position/cm-1']}: u = {u}"
        assert abs(got - value) < sigma * u, (
            f"{column} of {real['position/cm-1']}: {got} +- {u}, put in {value}")
END
}

# ---- three pressures and two temperatures of one mixture
record low.comb 11 "pressure=10 hPa" "temperature=296 K"
record middle.comb 12 "pressure=25 hPa" "temperature=296 K"
record high.comb 13 "pressure=60 hPa" "temperature=296 K"
record hot.comb 14 "pressure=25 hPa" "temperature=330 K"
check "a series is fitted" status 0 "30 lines in 4 spectra" \
  "$batch" fit low.comb middle.comb high.comb hot.comb --out out
check "the table shows the coefficients" grep -q "broadening_mixture.*shift_mixture.*width_exponent.*lower_energy" said
check "broadening comes out as it was put in" within 4.5 out/lines.csv 0.5 "broadening_mixture/(cm-1/atm)"
check "shift" within 4.5 out/lines.csv 0.5 "shift_mixture/(cm-1/atm)"
check "position at zero pressure" within 4.5 out/lines.csv 0.5 "position_zero/cm-1"
check "exponent of the width" within 4.5 out/lines.csv 0.5 width_exponent
check "lower-state energy" within 4.5 out/lines.csv 0.5 "lower_energy/cm-1"
check "strength at 296 K" within 4.5 out/lines.csv 0.5 "strength_296K/(cm/molecule)"
check "a figure for each spectrum" \
  test "$(find out -type f -printf '%f\n' | sort | tr '\n' ' ')" = \
  "analysis.faintline correlations.csv figure-2.svg figure-3.svg figure-4.svg figure.svg lines.csv report.pdf summary.json windows.csv "
check "the figures are SVG" xmllint --noout out/figure.svg out/figure-2.svg out/figure-4.svg
check "the preamble tells the conditions of each" bash -c "grep -q '^# pressure = 10 hPa' out/lines.csv && \
  grep -q '^# spectrum 3: pressure = 60 hPa' out/lines.csv && \
  grep -q '^# spectrum 4: temperature = 330 K' out/lines.csv"
check "the summary has each spectrum" python3 - <<'END'
import json
summary = json.load(open("out/summary.json", encoding="utf-8"))
spectra = summary["spectra"]
assert [s["pressure/Pa"] for s in spectra] == [1000, 2500, 6000, 2500], spectra
assert [s["temperature/K"] for s in spectra] == [296, 296, 296, 330], spectra
for s in spectra:
    # 6600 degrees of freedom scatter by 1.7 %
    assert 0.92 < s["chi2_reduced"] < 1.08, s["chi2_reduced"]
    assert s["windows"] > 0 and s["noise_equivalent_absorption/cm-1"] > 0
    assert "warnings" in s and s["detuning/Hz"] is None and s["fringes"] == []
for name in ("broadening_mixture", "shift_mixture", "width_exponent", "lower_energy"):
    assert name in summary["determined"], summary["determined"]
END
pdftotext -layout out/report.pdf report.txt
check "the report has a section for each and the coefficients" bash -c "grep -q 'Spectrum 1 of 4: 10 hPa, 296 K' report.txt && \
  grep -q 'Spectrum 4 of 4: 25 hPa, 330 K' report.txt && grep -q '^ *Coefficients' report.txt"
check "fit from the analysis" status 0 "30 lines in 4 spectra" \
  "$batch" fit out/analysis.faintline --out again
check "it gives the same line list, byte for byte" cmp out/lines.csv again/lines.csv
check "and the same report" cmp out/report.pdf again/report.pdf
check "any number of cores gives the same" bash -c "'$batch' fit low.comb middle.comb high.comb hot.comb \
  --out one --threads 1 >/dev/null 2>&1 && cmp one/lines.csv out/lines.csv"

# ---- two compositions: self and foreign apart
record lean.comb 21 "pressure=60 hPa" "mole_fraction=0.1" "temperature=296 K"
record rich.comb 22 "pressure=60 hPa" "mole_fraction=0.9" "temperature=296 K"
record thin.comb 23 "pressure=10 hPa" "mole_fraction=0.5" "temperature=296 K"
check "two compositions are fitted" status 0 "30 lines in 3 spectra" \
  "$batch" fit lean.comb rich.comb thin.comb --out parts
check "broadening by either gas" within 4.5 parts/lines.csv 0.5 \
  "broadening_self/(cm-1/atm)" "broadening_foreign/(cm-1/atm)"
check "shift by either gas" within 4.5 parts/lines.csv 0.5 \
  "shift_self/(cm-1/atm)" "shift_foreign/(cm-1/atm)"
check "one temperature tells no energies" bash -c "! grep -q energy-fitted parts/lines.csv"

# ---- one gauge: an error of 1 % that all spectra share is one of 1 % of every coefficient
record a.comb 41 "pressure=10 hPa" "u(pressure)=0.1 hPa" "temperature=296 K"
record b.comb 42 "pressure=25 hPa" "u(pressure)=0.25 hPa" "temperature=296 K"
record c.comb 43 "pressure=60 hPa" "u(pressure)=0.6 hPa" "temperature=296 K"
check "three spectra of one gauge are fitted" status 0 "30 lines in 3 spectra" \
  "$batch" fit a.comb b.comb c.comb --out gauge
check "what is common does not average out" python3 - <<'END'
import csv
lines = list(csv.DictReader(r for r in open("gauge/lines.csv", encoding="utf-8") if r[0] != "#"))
strong = [line for line in lines if float(line["snr"]) > 2000]
assert len(strong) > 5
for line in strong:
    ratio = float(line["u(broadening_mixture)/(cm-1/atm)"]) / float(line["broadening_mixture/(cm-1/atm)"])
    # The width is in proportion to the coefficient times the pressure; noise, finesse and detuning
    # add some tenths of a per cent. Errors of each spectrum's own would partly average out.
    assert 0.0099 < ratio < 0.0115, ratio
END

# ---- interleaved records within a series
grep '^#' middle.comb | tee even.comb > odd.comb
grep -v '^#' middle.comb | awk 'NR % 2 { print > "rows-odd"; next } { print > "rows-even" }'
cat rows-odd >> odd.comb
cat rows-even >> even.comb
check "records of one measurement are one spectrum" status 0 "30 lines in 4 spectra" \
  "$batch" fit low.comb even.comb high.comb odd.comb hot.comb --out merged
check "they give the numbers of the whole" \
  cmp <(grep -v '^#' merged/lines.csv) <(grep -v '^#' out/lines.csv)

# ---- other cavities and observables
record field.comb 51 "pressure=10 hPa" observable=field
record swept.comb 52 "pressure=60 hPa" coupling=swept finesse=8000
record ring.comb 53 "pressure=25 hPa" cavity=ring "cavity_length=119.916 cm" observable=amplitude
record pass.comb 54 "pressure=60 hPa" cavity=none "cavity_length=3000 m"
check "each spectrum has its own cavity and observable" status 0 "30 lines in 4 spectra" \
  "$batch" fit field.comb swept.comb ring.comb pass.comb --out mixed
check "broadening and shift come out of all together" within 4.5 mixed/lines.csv 0.5 \
  "broadening_mixture/(cm-1/atm)" "shift_mixture/(cm-1/atm)"

# ---- what is refused
sed 's/^# molar_mass.*/# molar_mass = 45.9951 g\/mol/' high.comb > heavy.comb
check "another molecule" status 3 "molar_mass is 44.0011 g/mol in the first and 45.9951 g/mol" \
  "$batch" fit low.comb heavy.comb --out x
check "and nothing is written" test ! -e x
for name in low hot; do grep -v '^# partition_sums' $name.comb > $name-bare.comb; done
check "two temperatures without Q(T)" status 3 "partition_sums" \
  "$batch" fit low-bare.comb hot-bare.comb --out x
check "Q(T) can be given to all at once" status 0 "30 lines in 2 spectra" \
  "$batch" fit low-bare.comb hot-bare.comb --out given \
  --set partition_sums="$root/data/partition/nitrous-oxide.constants"

# ---- the instrument, of a single spectrum and of each
record off.comb 31 "pressure=25 hPa" "temperature=296 K" "tooth_detuning=2000 Hz" "fringe=0.002 0.2 0.4"
sed -i 's/^# tooth_detuning.*/# tooth_detuning = 0 Hz/' off.comb
check "detuning and fringe of one spectrum" status 0 "Tooth detuning" \
  "$batch" fit off.comb --out off --option detuning_free=yes --option fringes=1
found()
{
  python3 - "$1" "$2" <<'END'
import json, sys
spectrum = json.load(open(sys.argv[1], encoding="utf-8"))["spectra"][int(sys.argv[2])]
detuning, u = spectrum["detuning/Hz"], spectrum["u(detuning)/Hz"]
assert 0 < u and abs(detuning - 2000) < 4.5 * u, (detuning, u)
fringe = spectrum["fringes"][0]
for key, want in (("period/cm-1", 0.2), ("amplitude", 0.002)):
    name, slash, unit = key.partition("/")
    got, u = fringe[key], fringe[f"u({name}){slash}{unit}"]
    assert 0 < u and abs(got - want) < 4.5 * u, (key, got, u)
END
}
check "they are in the summary" found off/summary.json 0
check "in the preamble of the list" grep -q "^# tooth_detuning_found = " off/lines.csv
check "and in the report" bash -c "pdftotext -layout off/report.pdf - | grep -q 'Instrument, as fitted'"
check "each spectrum of a series has its own" status 0 "Tooth detuning of spectrum 2" \
  "$batch" fit low.comb off.comb --out both --option detuning_free=yes --option fringes=1
check "found in the one that has it" found both/summary.json 1
finish
