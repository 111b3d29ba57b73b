/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * JSON (RFC 8259): a strict reader that gives a tree in which every value knows its place, and
 * strings for writers. Nothing is guessed: no comments, no commas at the end, no single quotes, no
 * NaN, a name only once in an object, nothing behind the value.
 */
#pragma once

#include <glib.h>

#define FAINT_JSON_ERROR (faint_json_error_quark ())
GQuark faint_json_error_quark (void);
typedef enum
{
  FAINT_JSON_ERROR_SYNTAX, /* the message has file, line and column (in characters, from 1) */
} FaintJsonError;

/* Arrays and objects may stand in each other so deep. */
#define FAINT_JSON_MAX_DEPTH 64

typedef enum
{
  FAINT_JSON_NULL,
  FAINT_JSON_FALSE,
  FAINT_JSON_TRUE,
  FAINT_JSON_NUMBER,
  FAINT_JSON_STRING,
  FAINT_JSON_ARRAY,
  FAINT_JSON_OBJECT,
} FaintJsonKind;

typedef struct
{
  FaintJsonKind kind;
  guint line, column; /* where it begins */
  const char *name;   /* of a member of an object, else NULL */
  const char *text;   /* of a string its content, of a number its letters as written, else "" */
  GArray *items;      /* FaintJson, of an array or an object, else NULL */
} FaintJson;

/* Reads @length bytes of UTF-8. @path for messages. Free with faint_json_free. */
FaintJson *faint_json_parse (const char *text, gsize length, const char *path, GError **error);
void faint_json_free (FaintJson *root);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (FaintJson, faint_json_free)

/* The member of this name of an object; NULL where there is none or @value is no object. */
const FaintJson *faint_json_member (const FaintJson *value, const char *name);
/* "an object", "a number" and so on. */
const char *faint_json_kind_name (FaintJsonKind kind);
/* The standard's own word, "object" or "number" (RFC 8259, section 1), the same in any language. */
const char *faint_json_type_name (FaintJsonKind kind);

/* Appends @text as a JSON string with its quotes; bytes that are not UTF-8 become U+FFFD. */
void faint_json_append_string (GString *out, const char *text);
