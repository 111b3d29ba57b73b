/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <string.h>

#include "faint/base/warnings.h"
#include "faint/lines/list-notes.h"
#include "faint/lines/record-private.h"
#include "faint/base/words.h"

/* What had to be left out, counted over all lines. */
typedef struct
{
  gsize positions, strengths, strengths_elsewhere, einstein, widths, foreign, labels, at_pressure;
  gsize numbers[FAINT_RECORD_N];
} Losses;

static gboolean
put (char *record, FaintRecordPlace place, double value, Losses *losses)
{
  gboolean written = isnan (value) || faint_record_put_number (record, place, value);

  losses->numbers[place] += !written;
  return written && !isnan (value);
}

/* At 296 K, natural abundance; *u of the same. */
static double
strength_of (const FaintLine *line, const FaintRecordOptions *options, double *u)
{
  double value = line->strength_296, share = options->pure ? options->abundance : 1.0;

  *u = line->u_strength_296;
  if (isnan (value) && options->temperature == FAINT_REFERENCE_TEMPERATURE_K)
    {
      value = line->strength.value;
      *u = line->strength.u;
    }
  *u *= share;
  return value * share;
}

static double
weight_of (const char *label, const FaintRecordOptions *options)
{
  guint j;
  char symmetry;
  gsize before;

  return faint_record_label_parse (label, &j, &symmetry, &before)
             ? options->degeneracy_factor * (2.0 * j + 1.0)
             : (double)NAN;
}

static void
put_strength (char *record, char *codes, const FaintLine *line, const FaintRecordOptions *options,
              Losses *losses)
{
  double u, strength = strength_of (line, options, &u);
  double weight = weight_of (line->upper, options);
  double a = faint_einstein_a (line->position.value, strength, line->lower_energy,
                               options->partition_sum, options->abundance, weight);

  if (isnan (strength))
    losses->strengths += isfinite (line->strength.value) || isfinite (line->strength_296);
  if (put (record, FAINT_RECORD_STRENGTH, strength, losses))
    codes[1] = faint_record_code_relative (u, strength);
  losses->strengths_elsewhere += !isnan (strength) && isfinite (line->strength.value)
                                 && !(options->temperature == FAINT_REFERENCE_TEMPERATURE_K
                                      && line->strength.value == line->strength_296);
  if (!isnan (strength) && !put (record, FAINT_RECORD_EINSTEIN_A, a, losses))
    losses->einstein++;
  put (record, FAINT_RECORD_UPPER_WEIGHT, weight, losses);
  put (record, FAINT_RECORD_LOWER_WEIGHT, weight_of (line->lower, options), losses);
}

static void
put_widths (char *record, char *codes, const FaintLine *line, const FaintRecordOptions *options,
            Losses *losses)
{
  const FaintParameter *c = line->coefficient;
  const struct
  {
    FaintRecordPlace place;
    FaintCoefficient from;
    guint code;
  } rows[] = {
    { FAINT_RECORD_WIDTH_AIR, FAINT_COEFFICIENT_BROADENING_FOREIGN, 2 },
    { FAINT_RECORD_WIDTH_SELF, FAINT_COEFFICIENT_BROADENING_SELF, 3 },
    { FAINT_RECORD_EXPONENT, FAINT_COEFFICIENT_WIDTH_EXPONENT, 4 },
    { FAINT_RECORD_SHIFT, FAINT_COEFFICIENT_SHIFT_FOREIGN, 5 },
  };

  for (gsize i = 0; i < G_N_ELEMENTS (rows); i++)
    {
      const FaintParameter *it = &c[rows[i].from];

      if (isnan (it->value))
        continue;
      if (rows[i].place != FAINT_RECORD_WIDTH_SELF && !options->foreign_is_air)
        losses->foreign++;
      else if (put (record, rows[i].place, it->value, losses))
        codes[rows[i].code] = rows[i].place == FAINT_RECORD_SHIFT
                                  ? faint_record_code_absolute (it->u)
                                  : faint_record_code_relative (it->u, it->value);
    }
}

static void
put_identity (char *record, const FaintRecordOptions *options)
{
  char text[12];

  if (options->molecule > 0)
    {
      g_snprintf (text, sizeof text, "%2d", options->molecule);
      memcpy (record, text, 2);
    }
  if (options->isotopologue > 0)
    record[2] = (char)('0' + options->isotopologue);
}

/* At zero pressure where that is known. */
static const FaintParameter *
position_of (const FaintLine *line)
{
  const FaintParameter *zero = &line->coefficient[FAINT_COEFFICIENT_POSITION_ZERO];

  return isfinite (zero->value) ? zero : &line->position;
}

static int
compare_positions (gconstpointer a, gconstpointer b)
{
  const FaintLine *first = *(const FaintLine *const *)a, *second = *(const FaintLine *const *)b;
  double x = position_of (first)->value, y = position_of (second)->value;

  if (x != y)
    return x < y ? -1 : 1;
  return first < second ? -1 : 1; /* lines of one list, as they stand there */
}

/* FALSE where the position has no room, so that there is no record. */
static gboolean
put_line (char *record, const FaintLine *line, const FaintRecordOptions *options, Losses *losses)
{
  const FaintParameter *position = position_of (line);
  char codes[FAINT_RECORD_CODES_N + 1] = "000000";

  memset (record, ' ', FAINT_RECORD_LENGTH);
  record[FAINT_RECORD_LENGTH] = '\n';
  if (!(position->value > 0.0)
      || !faint_record_put_number (record, FAINT_RECORD_POSITION, position->value))
    {
      losses->positions++;
      return FALSE;
    }
  losses->at_pressure += position == &line->position;
  codes[0] = faint_record_code_absolute (position->u);
  put_identity (record, options);
  put_strength (record, codes, line, options, losses);
  put_widths (record, codes, line, options, losses);
  put (record, FAINT_RECORD_LOWER_ENERGY, line->lower_energy, losses);
  losses->labels += !faint_record_put_labels (record, line);
  memcpy (record + faint_record_field (FAINT_RECORD_CODES)->start, codes, FAINT_RECORD_CODES_N);
  return TRUE;
}

static void
lose (GPtrArray *losses, const char *code, gsize n, const char *format, ...) G_GNUC_PRINTF (4, 5);
/* "@n lines: ..." */
static void
lose (GPtrArray *losses, const char *code, gsize n, const char *format, ...)
{
  g_autofree char *words = NULL;
  va_list arguments;

  if (n == 0)
    return;
  va_start (arguments, format);
  words = g_strdup_vprintf (format, arguments);
  va_end (arguments);
  faint_warnings_add (losses, code, n == 1 ? N_ ("%zu line: %s") : N_ ("%zu lines: %s"), n, words);
}

static void
say_numbers (const Losses *it, GPtrArray *losses)
{
  for (guint i = 0; i < FAINT_RECORD_N; i++)
    {
      const FaintRecordField *field = faint_record_field ((FaintRecordPlace)i);
      lose (losses, "record-number", it->numbers[i],
            N_ ("the %s has no room in the %u columns of its field, which was left blank."),
            field->name, field->width);
    }
}

static void
say_einstein (const Losses *it, const FaintRecordOptions *options, GPtrArray *losses)
{
  g_autoptr (GString) missing = g_string_new (NULL);

  if (isnan (options->partition_sum))
    g_string_append (missing, ", the partition sum (partition_sum_296K)");
  if (isnan (options->abundance))
    g_string_append (missing, ", the abundance (natural_abundance)");
  if (isnan (options->degeneracy_factor))
    g_string_append (missing, ", the statistical weights (degeneracy_factor)");
  lose (losses, "record-einstein", it->einstein,
        N_ ("the Einstein coefficient was left blank; not known: %s."),
        missing->len > 0 ? missing->str + 2
                         : N_ ("the lower-state energy or J of the upper state"));
}

static void
say (const Losses *it, const FaintRecordOptions *options, GPtrArray *losses)
{
  if (options->molecule == 0 || options->isotopologue == 0)
    faint_warnings_add (losses, "record-molecule",
                        N_ ("The numbers of molecule and isotopologue are not known and were left "
                            "blank; state molecule_number and isotopologue_number."));
  lose (losses, "record-position", it->positions,
        N_ ("left out, as the position has no room in 12 columns with 6 decimals."));
  lose (
      losses, "record-at-pressure", it->at_pressure,
      N_ ("the position at zero pressure is not known; that at the pressure of the measurement was "
          "written."));
  lose (
      losses, "record-strength", it->strengths,
      options->pure && isnan (options->abundance)
          ? N_ (
              "the strength was left blank, as it is that of the pure isotopologue and the natural "
              "abundance is not known (natural_abundance).")
          : N_ ("the strength at 296 K is not known and was left blank; the record has no other."));
  lose (losses, "record-temperature", it->strengths_elsewhere,
        N_ ("the strength at the temperature of the measurement was left out; that at 296 K was "
            "written."));
  say_einstein (it, options, losses);
  lose (
      losses, "record-foreign", it->foreign,
      N_ ("broadening or shift by the foreign gas or its exponent was left out, as the record has "
          "those by air alone (foreign_gas=air says that it is air)."));
  lose (losses, "record-labels", it->labels,
        N_ ("the labels were left out, as they do not fit into 15 columns of ASCII."));
  say_numbers (it, losses);
}

char *
faint_line_list_to_record (const FaintLineList *self, const FaintRecordOptions *options,
                           GPtrArray *losses)
{
  gsize n = faint_line_list_get_n (self);
  GString *out = g_string_sized_new ((FAINT_RECORD_LENGTH + 1) * n + 1);
  char record[FAINT_RECORD_LENGTH + 1];
  g_autoptr (GPtrArray) lines = g_ptr_array_new ();
  Losses lost = { 0 };

  for (gsize i = 0; i < n; i++)
    g_ptr_array_add (lines, (gpointer)faint_line_list_get (self, i));
  g_ptr_array_sort (lines, compare_positions);
  for (gsize i = 0; i < n; i++)
    if (put_line (record, g_ptr_array_index (lines, i), options, &lost))
      g_string_append_len (out, record, FAINT_RECORD_LENGTH + 1);
  say (&lost, options, losses);
  return g_string_free (out, FALSE);
}
