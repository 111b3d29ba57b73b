#!/usr/bin/env bash
# SPDX-License-Identifier: GPL-3.0-or-later
#
# What the window says, in every language: all files with words are in po/POTFILES.in, every
# catalogue has every word, and a translation keeps its formats, its letter for Alt and the decimal
# point of its numbers.
set -u
root=$1
. "$root/tests/support/tap.sh"
cd "$root" || exit 1
place=$(mktemp -d)
trap 'rm -rf "$place"' EXIT
catalogues=$(grep -v '^#' po/LINGUAS)

files_listed()
{
  diff <(grep -v '^#' po/POTFILES.in | sort) \
    <({ grep -rlE '\b(_|N_|C_|ngettext) \(' --include='*.c' --include='*.h' src
        grep -rlE 'translatable="yes"' ui
        grep -lE 'gettext-domain' data/*.gschema.xml
        ls data/*.desktop.in data/*.metainfo.xml.in 2>/dev/null; } | sort)
}

complete()
{
  local catalogue bad=0
  for catalogue in $catalogues; do
    msgmerge -q --no-fuzzy-matching "po/$catalogue.po" "$place/all.pot" -o "$place/merged.po" 2>&1 || bad=1
    msgattrib --untranslated --no-obsolete --no-wrap "$place/merged.po" >"$place/missing.po"
    if grep -q '^msgid "..*"' "$place/missing.po"; then
      echo "$catalogue lacks:"; grep '^msgid "..*"' "$place/missing.po"; bad=1
    fi
    msgattrib --only-fuzzy "po/$catalogue.po" | grep '^msgid "..*"' && bad=1
  done
  return $bad
}

formats()
{
  local catalogue bad=0
  for catalogue in $catalogues; do
    msgfmt --check --check-accelerators=_ -o /dev/null "po/$catalogue.po" || bad=1
  done
  return $bad
}

# What the library says in an error stands in _ (), but for scenes, which the headless command alone
# reads, and what names its options; a literal that is not would be an argument of these.
errors_translated()
{
  (cd "$root" && find src/faint -name '*.c' ! -path '*/simulate/*' | sort | xgettext --from-code=UTF-8 \
    --keyword --keyword=g_set_error:4 --keyword=g_set_error_literal:4 --keyword=g_prefix_error:2 \
    --keyword=g_propagate_prefixed_error:3 --keyword=faint_text_error:6 \
    --keyword=faint_keyed_file_refuse:3 --keyword=faint_analysis_file_refuse:5 \
    --keyword=faint_list_rows_refuse:5 --no-wrap -f - -o "$place/plain.pot") 2>&1 || return 1
  [ -e "$place/plain.pot" ] || { echo "no literal at all: not even '%s: %s'"; return 1; }
  ! sed -n 's/^msgid //p' "$place/plain.pot" | grep -v -e '--columns' -e 'no comb table' | sed 's/%[a-z]*//g' |
    grep '[[:alpha:]][[:alpha:]]'
}

# What results and files keep in English, which the window translates, stands in N_ ().
kept_marked()
{
  rm -f "$place/kept.pot"
  (cd "$root" && find src/faint src/app -name '*.c' | sort | xgettext --from-code=UTF-8 \
    --keyword --keyword=faint_warnings_add:3 --keyword=lose:4 --keyword=add_fault:2 \
    --keyword=add_remark:3 --keyword=add_scaled:3 --keyword=add_cause:3 --keyword=tell:2 \
    --keyword=tell_value:2 --no-wrap -f - -o "$place/kept.pot") 2>&1 || return 1
  [ -e "$place/kept.pot" ] || { echo "no literal at all: not even '%s'"; return 1; }
  ! sed -n 's/^msgid //p' "$place/kept.pot" | sed 's/%[a-z]*//g' | grep '[[:alpha:]][[:alpha:]]'
}

# The titles of the files that the window offers.
titles_marked()
{
  local title bad=0
  while read -r title; do
    grep -qF "\"$title\"" <(msgcat --no-wrap "$place/all.pot") || { echo "$title"; bad=1; }
  done < <(sed -n 's/^# title = //p' data/demo/*.comb data/samples/*.comb data/review/*.csv data/levels/*.constants)
  return $bad
}

# Numbers in words have a decimal point, as all numbers of the window.
points()
{
  local catalogue bad=0
  for catalogue in $catalogues; do
    msgcat --no-wrap "po/$catalogue.po" | grep '^msgstr' | grep -E '[0-9],[0-9]' && bad=1
  done
  return $bad
}

# xgettext complains of XML that it reads for itstool's rules; the words come out all the same.
(cd "$root" && xgettext --from-code=UTF-8 --keyword=_ --keyword=N_ --keyword=ngettext:1,2 \
  --keyword=C_:1c,2 --add-comments=Translators -f <(grep -v '^#' po/POTFILES.in) \
  -o "$place/all.pot") 2>"$place/said"
check "there are words" grep -q '^msgid "Strengths"' "$place/all.pot"
check "every file with words is in po/POTFILES.in" files_listed
check "every catalogue is complete" complete
check "formats and letters for Alt agree" formats
check "the library's errors are for translation" errors_translated
check "what is kept in English is for translation" kept_marked
check "titles of samples are for translation" titles_marked
check "numbers have a decimal point" points
finish
