/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What the files of setup share: where a key's value stands and which values are possible.
 */
#pragma once

#include "faint/spectrum/setup.h"

#define FAINT_SETUP_MAX_FINESSE 1e9

typedef struct
{
  gsize offset; /* of the member in FaintSetup */
  double least;
  gboolean least_is_open;
  double most;
  gboolean most_is_open;
  const char *refusal;         /* of another, with places for key and value; to be translated */
  FaintMirrorKind mirror_kind; /* of a key that describes the mirrors */
} FaintSetupDetail;

const FaintSetupDetail *faint_setup_detail (const FaintSetupKey *key);

/* "temperature" or "u(temperature)"; NULL for an unknown one, and for the u of what is no quantity.
 */
const FaintSetupKey *faint_setup_key_parse (const char *text, gboolean *is_u);

/* The finesse table at @path into the members table_... of @self. */
gboolean faint_setup_read_finesse_table (FaintSetup *self, const char *path, GError **error);

/* Lines "key = value" (after '#' too): the trimmed parts, to be freed, and where the value begins
 * (column, from 1). FALSE where there is no '='. */
gboolean
faint_setup_split_line (const char *line, gsize length, char **key, char **value, guint64 *column);
