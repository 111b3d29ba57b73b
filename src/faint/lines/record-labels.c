/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Labels of states in the fields of quanta of a record.
 */
#include <string.h>

#include "faint/lines/record-private.h"

#define LOCAL_WIDTH 15

gboolean
faint_record_label_parse (const char *label, guint *j, char *symmetry, gsize *before)
{
  gsize end = strlen (label), digits;

  *symmetry = '\0';
  if (end > 0 && (label[end - 1] == 'e' || label[end - 1] == 'f'))
    *symmetry = label[--end];
  digits = end;
  while (digits > 0 && g_ascii_isdigit (label[digits - 1]))
    digits--;
  if (digits == end || end - digits > 3 || (label[digits] == '0' && end - digits > 1) || digits == 0
      || label[digits - 1] != 'J')
    return FALSE;
  *j = (guint)g_ascii_strtoull (label + digits, NULL, 10);
  *before = digits - 1;
  if (*before > 0 && label[*before - 1] != ':' && label[*before - 1] != ' ')
    return FALSE;
  *before -= *before > 0;
  return TRUE;
}

/* Printable ASCII of at most @width letters with none of the blanks at its ends that a field
 * loses. */
static gboolean
fits (const char *text, gsize length, gsize width)
{
  if (length > width || (length > 0 && (text[0] == ' ' || text[length - 1] == ' ')))
    return FALSE;
  for (gsize i = 0; i < length; i++)
    if (text[i] < 0x20 || text[i] > 0x7e)
      return FALSE;
  return TRUE;
}

static void
put_text (char *record, FaintRecordPlace place, const char *text, gsize length)
{
  const FaintRecordField *field = faint_record_field (place);

  memcpy (record + field->start + field->width - length, text, length);
}

/* e stays e in branches P and R and becomes f in Q. */
static char
upper_symmetry (char lower, int change)
{
  if (lower == '\0' || ABS (change) == 1)
    return lower;
  return lower == 'e' ? 'f' : 'e';
}

/* Table 4 for linear molecules: five blanks, branch, J'' of three digits, symmetry, five blanks. */
static gboolean
put_linear (char *record, const FaintLine *line)
{
  guint upper_j, lower_j;
  char upper_letter, lower_letter, text[LOCAL_WIDTH + 1];
  gsize upper_before, lower_before;
  int change;

  if (!faint_record_label_parse (line->upper, &upper_j, &upper_letter, &upper_before)
      || !faint_record_label_parse (line->lower, &lower_j, &lower_letter, &lower_before))
    return FALSE;
  change = (int)upper_j - (int)lower_j;
  if (ABS (change) > 1 || upper_letter != upper_symmetry (lower_letter, change)
      || (upper_before > 0 && line->upper[upper_before] != ':')
      || (lower_before > 0 && line->lower[lower_before] != ':')
      || !fits (line->upper, upper_before, LOCAL_WIDTH)
      || !fits (line->lower, lower_before, LOCAL_WIDTH))
    return FALSE;
  g_snprintf (text, sizeof text, "     %c%3u%c     ", "PQR"[change + 1], lower_j,
              lower_letter != '\0' ? lower_letter : ' ');
  put_text (record, FAINT_RECORD_UPPER_GLOBAL, line->upper, upper_before);
  put_text (record, FAINT_RECORD_LOWER_GLOBAL, line->lower, lower_before);
  put_text (record, FAINT_RECORD_LOWER_LOCAL, text, LOCAL_WIDTH);
  return TRUE;
}

/* Before the last colon the state, behind it its level. */
static gsize
split (const char *label)
{
  const char *colon = strrchr (label, ':');

  return colon != NULL ? (gsize)(colon - label) : 0;
}

static gboolean
label_fits (const char *label)
{
  gsize state = split (label), rest = state + (label[state] == ':');

  /* A colon before nothing, or nothing before a colon, would not come back. */
  if (label[state] == ':' && (state == 0 || label[rest] == '\0'))
    return FALSE;
  return fits (label, state, LOCAL_WIDTH)
         && fits (label + rest, strlen (label + rest), LOCAL_WIDTH);
}

static void
put_label (char *record, const char *label, FaintRecordPlace state_place, FaintRecordPlace place)
{
  gsize state = split (label), rest = state + (label[state] == ':');

  put_text (record, state_place, label, state);
  put_text (record, place, label + rest, strlen (label + rest));
}

gboolean
faint_record_put_labels (char *record, const FaintLine *line)
{
  if (put_linear (record, line))
    return TRUE;
  if (!label_fits (line->upper) || !label_fits (line->lower))
    return FALSE;
  put_label (record, line->upper, FAINT_RECORD_UPPER_GLOBAL, FAINT_RECORD_UPPER_LOCAL);
  put_label (record, line->lower, FAINT_RECORD_LOWER_GLOBAL, FAINT_RECORD_LOWER_LOCAL);
  return TRUE;
}

static char *
get_text (const char *record, FaintRecordPlace place)
{
  const FaintRecordField *field = faint_record_field (place);

  return g_strstrip (g_strndup (record + field->start, field->width));
}

/* "state:level", or the one of the two that is there. */
static char *
join (const char *state, const char *level)
{
  return g_strconcat (state, *state != '\0' && *level != '\0' ? ":" : "", level, NULL);
}

/* Branch, J and symmetry as put_linear() writes them. */
static gboolean
read_linear (const char *local, int *change, guint *j, char *letter)
{
  const char *branch = strchr ("PQR", local[5]);
  const char *digits = local + 6;

  if (strspn (local, " ") != 5 || branch == NULL || strspn (local + 10, " ") < 5)
    return FALSE;
  digits += strspn (digits, " ");
  if (digits >= local + 9 || strspn (digits, "0123456789") < (gsize)(local + 9 - digits))
    return FALSE;
  *letter = local[9];
  *change = (int)(branch - "PQR") - 1;
  *j = (guint)g_ascii_strtoull (digits, NULL, 10);
  return strchr ("ef ", *letter) != NULL && (int)*j + *change >= 0;
}

void
faint_record_get_labels (const char *record, char **upper, char **lower)
{
  const FaintRecordField *local = faint_record_field (FAINT_RECORD_LOWER_LOCAL);
  g_autofree char *upper_state = get_text (record, FAINT_RECORD_UPPER_GLOBAL);
  g_autofree char *lower_state = get_text (record, FAINT_RECORD_LOWER_GLOBAL);
  g_autofree char *upper_level = get_text (record, FAINT_RECORD_UPPER_LOCAL);
  g_autofree char *lower_level = get_text (record, FAINT_RECORD_LOWER_LOCAL);
  g_autofree char *exact = g_strndup (record + local->start, local->width);
  int change;
  guint j;
  char letter;

  if (*upper_level == '\0' && read_linear (exact, &change, &j, &letter))
    {
      char upper_letter = letter != ' ' ? upper_symmetry (letter, change) : '\0';

      g_free (upper_level);
      g_free (lower_level);
      upper_level = g_strdup_printf ("J%d%c", (int)j + change, upper_letter);
      lower_level = g_strdup_printf ("J%u%c", j, letter != ' ' ? letter : '\0');
    }
  *upper = join (upper_state, upper_level);
  *lower = join (lower_state, lower_level);
}
