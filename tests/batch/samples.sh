#!/usr/bin/env bash
# SPDX-License-Identifier: GPL-3.0-or-later
#
# The spectra that come with the program are what the simulator makes of their scenes with seed 1,
# bit for bit on one kind of processor.
set -u
root=$1
batch=$(realpath "$2")
. "$root/tests/support/tap.sh"
work=$(mktemp -d "${TMPDIR:-/tmp}/faintline-samples-XXXXXX") || exit 1
trap 'rm -rf "$work"' EXIT

# A comb table names its files as seen from its folder, so the folders stand as in the sources.
mkdir "$work/demo" "$work/samples"
cp -r "$root/data/scenes" "$root/data/partition" "$work"

# The numbers of two comb tables agree within 1e-12, and all else exactly: w(z) has a kernel for
# each set of vector instructions, which agree to 5e-14 but not in the last bit.
nearly_same()
{
  paste -d '\n' "$1" "$2" | awk '
    NR % 2 { line = $0; n = split($0, want); next }
    line == $0 { next }
    /^#/ || NF != n { print "differ: " line " and " $0; exit 1 }
    { for (i = 1; i <= n; i++) { d = $i - want[i]; if (d > 1e-12 || d < -1e-12) {
        print "differ: " line " and " $0; exit 1 } } }'
}

# same SCENE FILE: the file is what the simulator makes of the scene.
same()
{
  check "$1 can be simulated" \
    "$batch" simulate "$work/scenes/$1.scene" --seed 1 --out "$work/$2"
  if [ -f "$work/$2" ] && ! cmp -s "$work/$2" "$root/data/$2" && nearly_same "$root/data/$2" "$work/$2" >/dev/null; then
    skip "$2" "this processor rounds otherwise than the one that made the file; within 1e-12"
  else
    check "$2" cmp "$work/$2" "$root/data/$2"
  fi
}

same demo demo/nitrous-oxide.comb
for name in crowded saturated field; do
  same $name samples/$name.comb
done
finish
