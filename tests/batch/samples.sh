#!/usr/bin/env bash
# SPDX-License-Identifier: GPL-3.0-or-later
#
# The spectra that come with the program are what the simulator makes of their scenes with seed 1,
# bit for bit.
set -u
root=$1
batch=$2
. "$root/tests/support/tap.sh"
work=$(mktemp -d "${TMPDIR:-/tmp}/faintline-samples-XXXXXX") || exit 1
trap 'rm -rf "$work"' EXIT

same()
{
  "$batch" simulate "$root/data/scenes/$1.scene" --seed 1 --out "$work/$1.comb" &&
    cmp "$work/$1.comb" "$2"
}

check "the demo" same demo "$root/data/demo/nitrous-oxide.comb"
for name in crowded saturated field; do
  check "$name" same $name "$root/data/samples/$name.comb"
done
finish
