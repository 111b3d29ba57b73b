#!/usr/bin/env bash
# SPDX-License-Identifier: GPL-3.0-or-later
#
# Includes point backwards along src/faint/LAYERS, then figure, then src/app/LAYERS; batch comes after
# figure and is known to none. The library knows neither a toolkit nor a terminal.
set -u
root=$1
. "$root/tests/support/tap.sh"
cd "$root/src" || exit 1

files_of() { find "$@" -name '*.[ch]' | sort; }

one_way()
{
  files_of faint figure batch app | xargs awk '
    BEGIN {
      while ((getline name < "faint/LAYERS") > 0) rank["faint/" name] = ++n
      rank["figure"] = ++n
      while ((getline name < "app/LAYERS") > 0) rank["app/" name] = ++n
      rank["batch"] = rank["app"] = ++n
    }
    function layer(path) { sub("/[^/]*$", "", path); return path }
    FNR == 1 { me = layer(FILENAME)
      if (!(me in rank)) { print FILENAME ": the folder is not in LAYERS"; bad = 1 } }
    /^ *# *include "[^"]*\// {
      it = $0; sub(/^[^"]*"/, "", it); sub(/".*/, "", it)
      folder = FILENAME; sub("/[^/]*$", "", folder)
      if ((getline line < (folder "/" it)) >= 0) { close(folder "/" it); next }
      it = layer(it)
      if (!(it in rank)) { print FILENAME ":" FNR ": includes from " it ", which is no layer"; bad = 1 }
      else if (it != me && rank[it] >= rank[me]) {
        print FILENAME ":" FNR ": " it " is a later layer"; bad = 1 } }
    END { exit bad }'
}

# Prints the lines that match and fails if there are any.
none_of()
{
  local pattern=$1
  shift
  ! files_of "$@" | xargs grep -nE "$pattern"
}

# The order of LAYERS is worth something only if it can be broken: can_fail FILE HEADER says whether
# an include of HEADER in FILE is found.
can_fail()
{
  local folder
  folder=$(mktemp -d) || return 1
  mkdir -p "$folder/$(dirname "$1")" "$folder"/{faint,figure,batch,app} &&
    cp faint/LAYERS "$folder/faint/" && cp app/LAYERS "$folder/app/" &&
    echo "#include \"$2\"" > "$folder/$1"
  (cd "$folder" && ! one_way)
  local status=$?
  rm -rf "$folder"
  return $status
}

check "includes go one way" one_way
check "an include that goes the other way is found" can_fail faint/base/bad.h faint/fit/fit.h
check "so is one in the window" can_fail app/parts/bad.h app/document/document.h
check "and one of the headless command in the window" can_fail app/window/bad.h batch/common.h
check "no toolkit or drawing in the library" \
  none_of '# *include <(gtk|gdk|gsk|cairo|pango|adwaita)' faint
# GIO is part of GLib; the library needs nothing of it but its decompressor.
gio_in_one_file() { [ "$(files_of faint | xargs grep -lE '# *include <gio')" = faint/base/gzip.c ]; }
check "GIO in base/gzip.c alone" gio_in_one_file
check "no toolkit in the figures and the headless command" \
  none_of '# *include <(gtk|gdk|gsk|adwaita)' figure batch
check "the library prints nothing and sets no locale" \
  none_of '\<(g_print|g_printerr|printf|puts|fputs|perror|setlocale)[ ]*\(' faint
# What holds for the whole process stands in base/program.c, for programs to call.
left_to_programs()
{
  ! grep -rnE 'gsl_set_error_handler|faint_program_begin' --include='*.[ch]' faint |
    grep -v '^faint/base/program\.[ch]:'
}
check "the library leaves what holds for the whole process to the programs" left_to_programs
finish
