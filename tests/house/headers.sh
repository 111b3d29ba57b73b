#!/usr/bin/env bash
# SPDX-License-Identifier: GPL-3.0-or-later
#
# Every public header of the library and of the figures compiles alone, twice, in strict C11, and says
# first what its module is for.
set -u
root=$1
. "$root/tests/support/tap.sh"
cd "$root/src" || exit 1
compiler=${CC:-cc}
flags=$(pkg-config --cflags glib-2.0 gsl cairo pangocairo) || exit 1

compiles()
{
  # shellcheck disable=SC2086
  printf '#include "%s"\n#include "%s"\n' "$1" "$1" |
    $compiler -x c -std=c11 -pedantic-errors -Wall -Wextra -Werror -fsyntax-only -I. $flags -
}

# The comment after the licence: at least one whole sentence.
explains()
{
  awk 'NR == 1 { next } /\*\// { exit } { text = text $0 } END { exit !(text ~ /[a-z]+[.:]/) }' "$1" ||
    { echo "$1: its first comment does not say what it is for"; return 1; }
}

for header in $(find faint figure -name '*.h' -not -name '*-private.h' | sort); do
  check "$header compiles alone" compiles "$header"
  check "$header explains itself" explains "$header"
done
finish
