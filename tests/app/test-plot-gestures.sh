#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
#
# The plots under a real pointer and keyboard: test-plot-gestures.sh HARNESS, inside xvfb-run. Every
# expected number follows from the places the pointer was moved to. A pixel is the tolerance of a
# place, for the pointer stands on whole pixels.
set -u
log=$(mktemp)
"$1" 7001 70 >"$log" 2>&1 &
harness=$!
trap 'kill $harness 2>/dev/null; rm -f "$log"' EXIT
failed=0

fail () {
  echo "FAILED: $*"
  failed=1
}

# Waits until the log has a line that matches; 10 s at most.
wait_for () {
  for i in $(seq 100); do
    grep -q "$1" "$log" && return 0
    sleep 0.1
  done
  echo "never saw: $1"
  cat "$log"
  exit 1
}

# Lets what was sent arrive: until the log has been still for 0.4 s.
settle () {
  lines=-1
  for i in $(seq 25); do
    now=$(wc -l <"$log")
    [ "$now" = "$lines" ] && return 0
    lines=$now
    sleep 0.4
  done
}

view () { grep '^view' "$log" | tail -1 | cut -d' ' -f2-; }
last () { grep "^$1" "$log" | tail -1 | cut -d' ' -f2-; }
# expect NAME GOT WANT TOLERANCE
expect () {
  awk -v g="$2" -v w="$3" -v t="$4" 'BEGIN { d = g - w; exit !(g != "" && d <= t && -d <= t) }' ||
    fail "$1: got $2, wanted $3 within $4"
}
calc () { awk "BEGIN { printf \"%.9f\", $1 }"; }
# wavenumber_at X: in the present view
wavenumber_at () {
  set -- "$1" $(view)
  calc "$2 + ($1 - $left) / $width * ($3 - $2)"
}
pixel () {
  set -- $(view)
  calc "($2 - $1) / $width"
}
# drag BUTTON X0 X1 Y
drag () {
  xdotool mousemove "$2" "$4" mousedown "$1"
  for i in 1 2 3 4; do
    xdotool mousemove $(($2 + ($3 - $2) * i / 4)) "$4"
    sleep 0.05
  done
  xdotool mouseup "$1"
  settle
}

wait_for '^place'
settle
set -- $(last place)
left=$1 width=$2 top=$3 overview=$4
middle=$((left + width / 2))
y=$((top + 60))

# a drag selects a range and shows it
x0=$((left + 300)) x1=$((left + 500))
from=$(wavenumber_at $x0) to=$(wavenumber_at $x1) tolerance=$(pixel)
drag 1 $x0 $x1 $y
set -- $(view)
expect 'range from' "$1" "$from" "$tolerance"
expect 'range to' "$2" "$to" "$tolerance"

# the wheel pans by a tenth of the view
xdotool mousemove $middle $y
settle
xdotool click 5
settle
expect 'wheel' "$(view | cut -d' ' -f1)" "$(calc "$1 + 0.1 * ($2 - $1)")" 1e-4
xdotool click 4
settle
expect 'wheel back' "$(view | cut -d' ' -f1)" "$1" 1e-4

# Ctrl and the wheel zoom at the pointer
x=$((left + 200))
xdotool mousemove $x $y
settle
at=$(wavenumber_at $x) coarse=$(pixel)
xdotool keydown ctrl click 4 keyup ctrl
settle
expect 'zoom keeps the place' "$(wavenumber_at $x)" "$at" "$(pixel)"
expect 'zoom by 1.25' "$(calc "$coarse / $(pixel)")" 1.25 0.001

# Shift and a drag pan: the place under the pointer stays under it
xdotool keydown shift
at=$(wavenumber_at $middle)
drag 1 $middle $((middle + 120)) $y
xdotool keyup shift
expect 'shift drag' "$(wavenumber_at $((middle + 120)))" "$at" "$(calc "2 * $(pixel)")"
at=$(wavenumber_at $middle)
drag 2 $middle $((middle - 80)) $y
expect 'middle drag' "$(wavenumber_at $((middle - 80)))" "$at" "$(calc "2 * $(pixel)")"

# back to the whole, then to a line by double click; lines stand at 7760.5, 7761.5, ...
xdotool key ctrl+0
settle
x=$(calc "int ($left + 30.5 / 70 * $width)")
xdotool mousemove "${x%.*}" $y click --repeat 2 --delay 80 1
wait_for '^line-activated'
settle
[ "$(last selected)" = 31 ] || fail "double click selected $(last selected), wanted 31"
set -- $(view)
expect 'line from' "$1" 7790.2 0.001 # 15 half widths of 0.02
expect 'line to' "$2" 7790.8 0.001

# its handle is dragged
drag 1 $middle $((middle + 100)) $((top + 5))
set -- $(last line-moved)
[ "${1:-}" = 31 ] || fail "moved line ${1:-none}, wanted 31"
expect 'moved to' "${2:-}" "$(calc "7790.5 + 100 * $(pixel)")" "$(calc "1.5 * $(pixel)")"

# so is the handle of its width, which stands a half width (0.02, all Lorentz) beside the line
wait_for '^width-handle'
set -- $(last width-handle)
x=$1 handle=$2
expect 'place of the handle' "$x" "$(calc "$left + 0.5 * $width + 0.02 / $(pixel)")" 1.5
drag 1 "$x" $((x + 60)) "$handle"
set -- $(last line-widened)
[ "${1:-}" = 31 ] || fail "widened line ${1:-none}, wanted 31"
expect 'half width' "${2:-}" "$(calc "0.02 + 60 * $(pixel)")" "$(calc "2 * $(pixel)")"

# Ctrl and a drag mark a range; its menu excludes the teeth there
x0=$((left + 200)) x1=$((left + 260))
from=$(wavenumber_at $x0) to=$(wavenumber_at $x1)
xdotool keydown ctrl
drag 1 $x0 $x1 $y
xdotool keyup ctrl
grep -q '^range-chosen' "$log" && fail 'a range was used before the menu said for what'
xdotool key Return
wait_for '^range-chosen exclude'
set -- $(last range-chosen)
expect 'excluded from' "$2" "$from" "$(pixel)"
expect 'excluded to' "$3" "$to" "$(pixel)"

# keys do the same: a range from the cursor on
xdotool mousemove $x0 $y
settle
xdotool key m
xdotool mousemove $x1 $y
settle
xdotool key m
sleep 0.5
xdotool key Down Return
settle
set -- $(last range-chosen)
[ "${1:-}" = fit ] || fail "the second choice was ${1:-none}, wanted fit" # take-back has nothing
expect 'range from keys' "${2:-}" "$from" "$(pixel)"

# Escape takes the mark away and is the plot's then
xdotool key m
settle
xdotool key Escape
settle
grep -q '^escape' "$log" && fail 'Escape went past a mark'

# Ctrl and a click: a line with those selected
xdotool mousemove $middle $y
xdotool keydown ctrl click 1 keyup ctrl
wait_for '^line-toggled 31'

# a click adds a line in that mode, and only then
grep -q '^add-line' "$log" && fail 'a line was added in the mode that inspects'
xdotool key a
wait_for '^mode add'
xdotool mousemove $((middle + 50)) $y
settle
xdotool mousedown 1
sleep 0.2
xdotool mouseup 1
wait_for '^add-line'
expect 'added at' "$(last add-line)" "$(wavenumber_at $((middle + 50)))" "$(pixel)"
xdotool key a

# keys
xdotool key BackSpace
settle
expect 'back' "$(view | cut -d' ' -f1)" 7760 1e-6
xdotool key alt+Right
settle
expect 'forward' "$(view | cut -d' ' -f1)" 7790.2 0.001
xdotool key alt+Left
settle
expect 'back again' "$(view | cut -d' ' -f1)" 7760 1e-6
xdotool key plus plus Home
settle
expect 'Home' "$(view | cut -d' ' -f1)" 7760 1e-6
xdotool key n
settle
[ "$(last selected)" = 32 ] || fail "N selected $(last selected), wanted 32"
xdotool key shift+n
settle
[ "$(last selected)" = 31 ] || fail "Shift+N selected $(last selected), wanted 31"

# Escape without a drag is not the plot's: it cancels what runs
xdotool key Escape
wait_for '^escape'

# the overview: a click beside the frame centres
xdotool key Home plus plus plus plus plus plus
settle
xdotool mousemove $((left + width / 2)) "$overview" click 1
settle
set -- $(view)
share=$(calc "($left + $width / 2 - 8) / (1400 - 16)") # the strip begins 8 units from the edge
expect 'overview' "$(calc "($1 + $2) / 2")" "$(calc "7760 + 70 * $share")" 0.1

grep -i -E 'critical|warning' "$log" && fail 'messages of the toolkit'
kill -0 $harness 2>/dev/null || fail 'the program ended'
[ $failed = 0 ] && echo 'all gestures work'
exit $failed
