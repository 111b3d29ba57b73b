#!/usr/bin/env bash
# SPDX-License-Identifier: GPL-3.0-or-later
#
# The JCAMP-DX reader against another one, the npm package jcampconverter, on the same files:
# jcamp-peer.sh TEST-JCAMP ROOT. Where Node.js finds no such package the comparison is left out; to
# make it, install the package and set NODE_PATH to its node_modules.
set -u
program=$1
. "$2/tests/support/tap.sh"
place=$(mktemp -d)
trap 'rm -rf "$place"' EXIT

peer()
{
  node --input-type=module -e '
    import { createRequire } from "module";
    import { readFileSync } from "fs";
    const { convert } = createRequire(process.env.NODE_PATH + "/")("jcampconverter");
    const { x, y } = convert(readFileSync(process.argv[1], "utf8")).flatten[0].spectra[0].data;
    x.forEach((at, i) => console.log(at.toFixed(9), y[i].toFixed(9)));' "$1"
}

# Every point within 2 units of the ninth decimal.
agree()
{
  local name=$1
  "$program" print "$place/$name.dx" >"$place/ours" || return 1
  peer "$place/$name.dx" >"$place/theirs" || return 1
  [ "$(wc -l <"$place/ours")" -eq 103 ] || { echo "$(wc -l <"$place/ours") points"; return 1; }
  paste -d' ' "$place/ours" "$place/theirs" | awk '
    function size(v) { return v < 0 ? -v : v }
    NF != 4 || size($1 - $3) > 2e-9 || size($2 - $4) > 2e-9 { print; bad = 1 } END { exit bad }'
}

if ! command -v node >/dev/null || [ ! -d "${NODE_PATH:-/nowhere}/jcampconverter" ]; then
  skip "another reader agrees" "no jcampconverter for Node.js in NODE_PATH"
  finish
  exit 0
fi
"$program" write "$place"
for form in affn pac sqz dif difdup; do
  check "another reader agrees on $form" agree $form
done
finish
