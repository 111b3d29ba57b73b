/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Line lists in files: the four formats in which they are interchanged, recognised by content when
 * read, and written with a word on all that a format cannot hold. docs/formats.md describes them.
 */
#pragma once

#include "faint/base/warnings.h"
#include "faint/lines/record-options.h"

typedef enum
{
  FAINT_LIST_CSV,     /* comma-separated text after RFC 4180 with heads in quantity calculus */
  FAINT_LIST_RECORD,  /* 160 columns a line (Rothman et al., JQSRT 96, 139 (2005), table 1) */
  FAINT_LIST_VOTABLE, /* VOTable 1.4 (IVOA Recommendation, 2019) */
  FAINT_LIST_JSON,    /* RFC 8259, with the heads of CSV as names */
  FAINT_LIST_N
} FaintListFormat;

/* "csv", "record", "votable", "json". */
const char *faint_list_format_name (FaintListFormat format);
/* What file names end with: "csv", "record", "vot", "json". */
const char *faint_list_format_suffix (FaintListFormat format);
/* FALSE if @name is none of them. */
gboolean faint_list_format_from_name (const char *name, FaintListFormat *format);
/* By the content's beginning; what is nothing else is CSV. */
FaintListFormat faint_list_format_recognise (const char *text, gsize length);

typedef struct
{
  FaintLineList *lines;
  FaintListFormat format;
  char *path;
  char sha256[65];     /* of the file as it is on disk */
  GPtrArray *notes;    /* char *, "key = value" in the order of the file: conditions and all else
                          that it says of itself, but for what a writer states anew (program,
                          reference temperature, coverage factor) */
  GPtrArray *warnings; /* FaintWarning: what was ignored or understood in another way */
} FaintListFile;

/* Reads a list of any of the formats. Errors name file, line and column; nothing is half read. */
FaintListFile *faint_list_file_read (const char *path, GError **error);
/* The same of text; @path for messages. */
FaintListFile *
faint_list_file_parse (const char *text, gsize length, const char *path, GError **error);
void faint_list_file_free (FaintListFile *self);
/* Hashes, 64 hexadecimal digits at the end of a note, of the files that the list says it comes
 * from. NULL-terminated; free with g_strfreev. */
char **faint_list_file_sources (const FaintListFile *self);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (FaintListFile, faint_list_file_free)

/* The list as text. @about may be NULL. @options (NULL: nothing known) is for records alone; what
 * @about says of temperature, abundance and the like is taken too, and @options wins. What the
 * format cannot hold is left out and told in @losses (may be NULL), one FaintWarning for each
 * kind. Reading the text back gives the same list within its printed digits. Free with g_free. */
char *faint_line_list_to_text (const FaintLineList *self, const FaintLineListAbout *about,
                               FaintListFormat format, const FaintRecordOptions *options,
                               GPtrArray *losses);
/* The same into a file, whole or not at all. */
gboolean
faint_list_file_write (const FaintLineList *self, const FaintLineListAbout *about, const char *path,
                       FaintListFormat format, const FaintRecordOptions *options, GPtrArray *losses,
                       GError **error);
