#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
#
# kept-words.sh ROOT: the sentences that are kept in English, as lines of a table in C: what stands
# in N_ () in the library and beside the document.
cd "$1" || exit 1
grep -E '^src/(faint|app/document)/.*\.c$' po/POTFILES.in |
  xgettext --from-code=UTF-8 --keyword --keyword=N_ --no-location --no-wrap --omit-header -f - -o - |
  awk '/^msgid / { sub(/^msgid /, ""); printf "%s", $0; open = 1; next }
    /^"/ && open { printf " %s", $0; next }
    /^msgstr/ && open { print ","; open = 0 }'
