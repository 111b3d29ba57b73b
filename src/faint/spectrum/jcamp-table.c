/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The table of a JCAMP-DX block: its numbers, its checks, its units.
 */
#include <math.h>
#include <string.h>

#include "faint/spectrum/jcamp-numbers.h"
#include "faint/base/words.h"
#include "faint/spectrum/jcamp-private.h"

/* Points of a table; a damaged NPOINTS shall not fill the memory. */
#define MOST_POINTS 100000000

/* Of what a line tells the abscissa that repeats the last ordinate before it: files differ. */
typedef enum
{
  BEGINS_UNKNOWN,
  BEGINS_AT_REPEATED,
  BEGINS_AT_NEXT,
} Begins;

typedef struct
{
  const FaintJcamp *file;
  GPtrArray *warnings;
  FaintColumn column;           /* of the axis */
  double x_unit;                /* Hz, cm-1 or nm */
  gboolean absorbance, percent; /* of the ordinates */
  double x_factor, y_factor;
  double first_x, last_x, n_points; /* NAN: not stated */
  double step;                      /* of equal ones; NAN: one point alone */
  Begins begins;
  GArray *x, *y; /* of double */
} Table;

static void
table_clear (Table *self)
{
  g_array_unref (self->x);
  g_array_unref (self->y);
}
G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC (Table, table_clear)

/* A check has failed: an error, or a warning where that was asked for, which is kept and therefore
 * not translated, as an error is. */
static gboolean G_GNUC_PRINTF (4, 5)
    fail_check (const Table *self, guint64 line, GError **error, const char *format, ...)
{
  va_list arguments;

  va_start (arguments, format);
  g_autofree char *text = g_strdup_vprintf (self->file->unchecked ? format : _ (format), arguments);
  va_end (arguments);
  if (self->file->unchecked)
    {
      faint_warnings_add (self->warnings, "check-failed", N_ ("Line %zu: %s"), (gsize)line, text);
      return TRUE;
    }
  faint_text_error (error, FAINT_TEXT_ERROR_SYNTAX, self->file->text->path, line, 0,
                    _ ("%s If the table is right all the same, have it read unchecked."), text);
  return faint_jcamp_untold (error);
}

/* @format has places for label and value. */
static gboolean
fail_record (const Table *self, const FaintJcampRecord *record, const char *format, GError **error)
{
  g_autofree char *value = faint_text_quote (record->value, -1, 60);
  g_autofree char *sentence = g_strdup_printf (format, record->label, value);

  faint_text_error (error, FAINT_TEXT_ERROR_SYNTAX, self->file->text->path, record->line, 0, "%s",
                    sentence);
  return FALSE;
}

/* The number of a record; @otherwise where the record is not there. */
static gboolean
number_record (const Table *self, const char *label, double otherwise, double *value,
               GError **error)
{
  const FaintJcampRecord *record = faint_jcamp_find (self->file->block, label);
  const char *after;

  *value = otherwise;
  if (record == NULL
      || (faint_text_number (record->value, record->value + strlen (record->value), value, &after)
          && *after == '\0' && isfinite (*value)))
    return TRUE;
  *value = NAN;
  return fail_record (self, record, _ ("'##%s= %s': a number was expected."), error);
}

static const FaintJcampRecord *
needed_record (const Table *self, const char *label, GError **error)
{
  const FaintJcampRecord *record = faint_jcamp_find (self->file->block, label);

  if (record == NULL)
    faint_text_error (error, FAINT_TEXT_ERROR_SYNTAX, self->file->text->path,
                      self->file->block->line, 0, _ ("the block that begins here has no '##%s='."),
                      label);
  return record;
}

/* Half a unit of the last digit of a record. */
static double
rounding_of (const Table *self, const char *label)
{
  const FaintJcampRecord *record = faint_jcamp_find (self->file->block, label);

  return 0.5 * faint_jcamp_last_digit (record->value, record->value + strlen (record->value));
}

static gboolean
choose_x_unit (Table *self, GError **error)
{
  static const struct
  {
    const char *name;
    FaintColumn column;
    double unit;
  } known[] = {
    { "1/CM", FAINT_COLUMN_WAVENUMBER, 1.0 },  { "CM-1", FAINT_COLUMN_WAVENUMBER, 1.0 },
    { "CM^-1", FAINT_COLUMN_WAVENUMBER, 1.0 }, { "NANOMETERS", FAINT_COLUMN_WAVELENGTH, 1.0 },
    { "NM", FAINT_COLUMN_WAVELENGTH, 1.0 },    { "MICROMETERS", FAINT_COLUMN_WAVELENGTH, 1e3 },
    { "HZ", FAINT_COLUMN_FREQUENCY, 1.0 },     { "KHZ", FAINT_COLUMN_FREQUENCY, 1e3 },
    { "MHZ", FAINT_COLUMN_FREQUENCY, 1e6 },    { "GHZ", FAINT_COLUMN_FREQUENCY, 1e9 },
    { "THZ", FAINT_COLUMN_FREQUENCY, 1e12 },
  };
  const FaintJcampRecord *record = needed_record (self, "XUNITS", error);

  if (record == NULL)
    return FALSE;
  for (gsize i = 0; i < G_N_ELEMENTS (known); i++)
    if (g_ascii_strcasecmp (record->value, known[i].name) == 0)
      {
        self->column = known[i].column;
        self->x_unit = known[i].unit;
        if (self->column == FAINT_COLUMN_WAVELENGTH)
          faint_warnings_add (
              self->warnings, "wavelength-in-vacuum",
              N_ ("The file does not say whether its wavelengths hold in vacuum or in "
                  "air; they were taken as in vacuum."));
        return TRUE;
      }
  return fail_record (
      self, record,
      _ ("'##%s= %s': 1/CM, NANOMETERS, MICROMETERS, HZ, KHZ, MHZ, GHZ or THZ was expected."),
      error);
}

static gboolean
choose_y_unit (Table *self, GError **error)
{
  const FaintJcampRecord *record = faint_jcamp_find (self->file->block, "YUNITS");
  FaintJcampOrdinate told = self->file->ordinate;
  g_autofree char *unit = g_ascii_strup (record != NULL ? record->value : "", -1);

  self->percent = strchr (unit, '%') != NULL || g_str_has_prefix (unit, "PERCENT");
  if (told != FAINT_JCAMP_BY_UNIT)
    self->absorbance = told == FAINT_JCAMP_ABSORBANCE;
  else if (strstr (unit, "ABSORBANCE") != NULL)
    self->absorbance = TRUE;
  else if (strstr (unit, "TRANSMITTANCE") == NULL && strstr (unit, "TRANSMISSION") == NULL
           && strcmp (unit, "%T") != 0)
    {
      if (record == NULL)
        {
          needed_record (self, "YUNITS", error);
          return faint_jcamp_untold (error);
        }
      fail_record (self, record,
                   _ ("'##%s= %s': TRANSMITTANCE or ABSORBANCE was expected. Or say which of the "
                      "two it is."),
                   error);
      return faint_jcamp_untold (error);
    }
  if (self->absorbance)
    faint_warnings_add (self->warnings, "from-absorbance",
                        N_ ("The file holds decadic absorbance; the transmission 10^-A was used."));
  return TRUE;
}

static gboolean
read_frame (Table *self, GError **error)
{
  if (!choose_x_unit (self, error) || !choose_y_unit (self, error)
      || !number_record (self, "XFACTOR", 1.0, &self->x_factor, error)
      || !number_record (self, "YFACTOR", 1.0, &self->y_factor, error)
      || !number_record (self, "FIRSTX", NAN, &self->first_x, error)
      || !number_record (self, "LASTX", NAN, &self->last_x, error)
      || !number_record (self, "NPOINTS", NAN, &self->n_points, error))
    return FALSE;
  if (!isnan (self->n_points)
      && (self->n_points < 1.0 || self->n_points > MOST_POINTS
          || self->n_points != floor (self->n_points)))
    return fail_record (self, faint_jcamp_find (self->file->block, "NPOINTS"),
                        _ ("'##%s= %s': a whole number above 0 was expected."), error);
  if (self->x_factor == 0.0 || self->y_factor == 0.0)
    return fail_record (
        self, faint_jcamp_find (self->file->block, self->x_factor == 0.0 ? "XFACTOR" : "YFACTOR"),
        _ ("'##%s= %s': a number that is not 0 was expected."), error);
  return TRUE;
}

/* The lines of the table: TRUE while there is one with something in it, [*start, *end). */
static gboolean
next_line (const Table *self, FaintLines *lines, const char **start, const char **end)
{
  while (lines->offset < self->file->table->data_end && faint_text_next_line (lines))
    {
      gsize length = faint_jcamp_line_length (lines->line, lines->length);

      *start = lines->line;
      *end = lines->line + length;
      while (*start < *end && g_ascii_isspace (**start))
        (*start)++;
      if (*start < *end)
        return TRUE;
    }
  return FALSE;
}

/* @format has a place for what stands at @at. */
static gboolean
fail_number (const Table *self, const FaintLines *lines, const char *at, const char *format,
             GError **error)
{
  const char *end = lines->line + lines->length;
  g_autofree char *found = faint_text_quote (at, end - at, 12);
  g_autofree char *sentence = g_strdup_printf (format, found);

  faint_text_error (error, FAINT_TEXT_ERROR_SYNTAX, self->file->text->path, lines->number,
                    (guint64)g_utf8_strlen (lines->line, at - lines->line) + 1, "%s", sentence);
  return FALSE;
}

/* What a line of XYDATA says about its place. */
typedef struct
{
  guint64 number;
  double x, digit;  /* as written, and a unit of its last digit */
  guint before;     /* points */
  gboolean repeats; /* the last ordinate before it */
} Beginning;

/* How far the abscissa of a line may be from what the points before it make of it. Its own digits
 * are rounded, or, where that cannot hide a missing point, cut off; FIRSTX, LASTX and XFACTOR are
 * rounded too, but what is allowed for them stays so small that a line which is off by a step is
 * found whatever its digits, unless a unit of the last one is a step itself. */
static double
allowed_of (const Table *self, double digit, double expected)
{
  double step = fabs (self->step), unit = digit * fabs (self->x_factor);
  double frame = MAX (rounding_of (self, "FIRSTX"), rounding_of (self, "LASTX"));
  double power = log10 (fabs (self->x_factor));

  if (fabs (power - round (power)) > 1e-12) /* 1, 0.001 and the like are exact */
    frame += rounding_of (self, "XFACTOR") * fabs (expected / self->x_factor);
  frame = MIN (frame, 0.49 * MAX (step - unit, 0.02 * step));
  return (unit <= 0.25 * step ? unit : 0.5 * unit) + frame + 1e-12 * fabs (expected);
}

/* Where a line begins by its own words, against the points before it. */
static gboolean
check_abscissa (Table *self, const Beginning *line, GError **error)
{
  gboolean open = line->repeats && self->begins == BEGINS_UNKNOWN, here, next;
  guint before = line->before - (line->repeats && self->begins != BEGINS_AT_NEXT ? 1 : 0);
  double expected = self->first_x + (double)before * self->step;
  double given = line->x * self->x_factor, allowed;

  if (isnan (self->step))
    return TRUE;
  allowed = allowed_of (self, line->digit, expected);
  here = fabs (given - expected) <= allowed;
  next = open && fabs (given - expected - self->step) <= allowed;
  if (open && here != next)
    self->begins = here ? BEGINS_AT_REPEATED : BEGINS_AT_NEXT;
  return here || next
         || fail_check (self, line->number, error,
                        N_ ("the line says that it begins at %s, but after %u points it should be "
                            "%s within %s (the rounding of its digits): points are missing or "
                            "surplus before it, or FIRSTX, LASTX or NPOINTS is wrong."),
                        FAINT_NUMBER ("%.12g", given), before, FAINT_NUMBER ("%.12g", expected),
                        FAINT_NUMBER ("%.2g", allowed));
}

static gboolean
check_repetition (const Table *self, guint64 line, double last, double repetition, GError **error)
{
  if (fabs (repetition - last) <= 1e-9 * fabs (last))
    return TRUE;
  return fail_check (self, line, error,
                     N_ ("the line should begin by repeating the last ordinate before it, %s, but "
                         "has %s: an ordinate before it is wrong."),
                     FAINT_NUMBER ("%.10g", last), FAINT_NUMBER ("%.10g", repetition));
}

static gboolean
take_data_line (Table *self, const FaintLines *lines, const char *start, const char *end,
                FaintJcampState *state, GError **error)
{
  Beginning line = { .number = lines->number, .before = self->y->len };
  double last = state->last, repetition = 0.0;
  const char *after;
  FaintJcampFault fault;

  if (!faint_jcamp_abscissa (start, end, &line.x, &after))
    return fail_number (self, lines, start, _ ("'%s' is no abscissa; every line begins with one."),
                        error);
  line.digit = faint_jcamp_last_digit (start, after);
  if (!faint_jcamp_ordinates (after, end, state, self->y, &line.repeats, &repetition, &fault))
    return fail_number (self, lines, fault.at, _ (fault.reason), error);
  return check_abscissa (self, &line, error)
         && (!line.repeats || check_repetition (self, lines->number, last, repetition, error));
}

/* (X++(Y..Y)): equal steps. */
static gboolean
read_data (Table *self, GError **error)
{
  FaintLines lines = { .text = self->file->text,
                       .offset = self->file->table->data,
                       .number = self->file->table->line };
  FaintJcampState state = { 0 };
  const char *start, *end;

  if (isnan (self->first_x))
    return needed_record (self, "FIRSTX", error) != NULL;
  if (isnan (self->last_x))
    return needed_record (self, "LASTX", error) != NULL;
  if (isnan (self->n_points))
    return needed_record (self, "NPOINTS", error) != NULL;
  self->step = self->n_points > 1.0 ? (self->last_x - self->first_x) / (self->n_points - 1.0) : NAN;
  while (next_line (self, &lines, &start, &end))
    if (!take_data_line (self, &lines, start, end, &state, error))
      return FALSE;
  for (guint i = 0; i < self->y->len; i++)
    {
      double x = self->first_x + (isnan (self->step) ? 0.0 : (double)i * self->step);

      g_array_append_val (self->x, x);
    }
  return TRUE;
}

/* (XY..XY): every point with its place. */
static gboolean
read_points (Table *self, GError **error)
{
  FaintLines lines = { .text = self->file->text,
                       .offset = self->file->table->data,
                       .number = self->file->table->line };
  const char *start, *end;

  while (next_line (self, &lines, &start, &end))
    for (const char *p = start; p < end;)
      {
        double x, y = NAN;
        const char *after;

        if (strchr (" \t,;", *p) != NULL)
          {
            p++;
            continue;
          }
        if (!faint_text_number (p, end, &x, &after) || !isfinite (x))
          return fail_number (self, &lines, p, _ ("'%s' is no abscissa."), error);
        for (p = after; p < end && strchr (" \t,", *p) != NULL;)
          p++;
        if (p < end && *p == '?')
          p++;
        else if (p < end && faint_text_number (p, end, &y, &after) && isfinite (y))
          p = after;
        else
          return fail_number (self, &lines, MIN (p, end),
                              _ ("'%s' is no ordinate to the abscissa before it."), error);
        x *= self->x_factor;
        g_array_append_val (self->x, x);
        g_array_append_val (self->y, y);
      }
  return TRUE;
}

/* Number, first, largest and smallest against what the block says. */
static gboolean
check_sums (const Table *self, GError **error)
{
  const double *y = (const double *)(gpointer)self->y->data;
  double first, most, least, found_most = -INFINITY, found_least = INFINITY;
  guint64 line = self->file->table->line;

  if (!number_record (self, "FIRSTY", NAN, &first, error)
      || !number_record (self, "MAXY", NAN, &most, error)
      || !number_record (self, "MINY", NAN, &least, error))
    return FALSE;
  if (!isnan (self->n_points) && self->n_points != (double)self->y->len
      && !fail_check (self, line, error, N_ ("NPOINTS says %s points, but the table holds %u."),
                      FAINT_NUMBER ("%.0f", self->n_points), self->y->len))
    return FALSE;
  for (guint i = 0; i < self->y->len; i++)
    if (!isnan (y[i]))
      {
        found_most = MAX (found_most, y[i] * self->y_factor);
        found_least = MIN (found_least, y[i] * self->y_factor);
      }
  /* Written with few digits: a step of an ordinate, or a thousandth. */
  double allowed = fabs (self->y_factor) + 1e-3 * MAX (fabs (found_most), fabs (found_least));
  if (!isnan (first) && self->y->len > 0 && fabs (first - y[0] * self->y_factor) > allowed
      && !fail_check (self, line, error, N_ ("FIRSTY is %s, but the table begins with %s."),
                      FAINT_NUMBER ("%.10g", first), FAINT_NUMBER ("%.10g", y[0] * self->y_factor)))
    return FALSE;
  if (!isnan (most) && fabs (most - found_most) > allowed
      && !fail_check (self, line, error, N_ ("MAXY is %s, but the largest ordinate is %s."),
                      FAINT_NUMBER ("%.10g", most), FAINT_NUMBER ("%.10g", found_most)))
    return FALSE;
  return isnan (least) || fabs (least - found_least) <= allowed
         || fail_check (self, line, error, N_ ("MINY is %s, but the smallest ordinate is %s."),
                        FAINT_NUMBER ("%.10g", least), FAINT_NUMBER ("%.10g", found_least));
}

static double
transmission (const Table *self, double y)
{
  double value = y * self->y_factor * (self->percent ? 0.01 : 1.0);

  return self->absorbance ? pow (10.0, -value) : value;
}

static FaintRows *
rows_of (const Table *self)
{
  const double *x = (const double *)(gpointer)self->x->data;
  const double *y = (const double *)(gpointer)self->y->data;
  FaintRows *rows = g_new0 (FaintRows, 1);
  double *axis = g_new (double, MAX (self->y->len, 1)),
         *value = g_new (double, MAX (self->y->len, 1));
  guint missing = 0;

  for (guint i = 0; i < self->y->len; i++)
    {
      if (isnan (y[i]))
        {
          missing++;
          continue;
        }
      axis[rows->n] = x[i] * self->x_unit;
      value[rows->n++] = transmission (self, y[i]);
    }
  rows->cell[self->column] = axis;
  rows->cell[FAINT_COLUMN_TRANSMISSION] = value;
  if (missing > 0)
    faint_warnings_add (self->warnings, "missing-ordinates",
                        N_ ("%u ordinates are marked as missing ('?') and were left out."),
                        missing);
  return rows;
}

/* Places must be above 0 and run one way. */
static gboolean
check_places (const Table *self, const FaintRows *rows, GError **error)
{
  const double *x = rows->cell[self->column];
  gboolean falls = rows->n > 1 && x[rows->n - 1] < x[0];

  for (gsize i = 0; i < rows->n; i++)
    if (!(x[i] > 0.0) || !isfinite (x[i])
        || (i > 0 && (x[i] == x[i - 1] || (x[i] < x[i - 1]) != falls)))
      {
        faint_text_error (error, FAINT_TEXT_ERROR_SYNTAX, self->file->text->path,
                          self->file->table->line, 0,
                          _ ("the abscissa of point %zu, %s, is not above 0 or does not go on in "
                             "the direction of the others. The table must be sorted."),
                          i + 1, FAINT_NUMBER ("%.10g", x[i] / self->x_unit));
        return FALSE;
      }
  return TRUE;
}

void
faint_jcamp_find_span (const FaintJcamp *file, double *first, double *last, double *n)
{
  g_autoptr (GPtrArray) warnings = faint_warnings_new ();
  g_auto (Table) self = { .file = file,
                          .warnings = warnings,
                          .x = g_array_new (FALSE, FALSE, sizeof (double)),
                          .y = g_array_new (FALSE, FALSE, sizeof (double)) };

  number_record (&self, "FIRSTX", NAN, first, NULL);
  number_record (&self, "LASTX", NAN, last, NULL);
  number_record (&self, "NPOINTS", NAN, n, NULL);
  if (!isnan (*first + *last + *n) || strstr (file->table->value, "++") != NULL
      || !read_frame (&self, NULL) || !read_points (&self, NULL) || self.x->len == 0)
    return;
  *first = g_array_index (self.x, double, 0);
  *last = g_array_index (self.x, double, self.x->len - 1);
  *n = (double)self.x->len;
}

FaintRows *
faint_jcamp_rows (const FaintJcamp *file, GPtrArray *warnings, GError **error)
{
  g_auto (Table) self = { .file = file,
                          .warnings = warnings,
                          .x = g_array_new (FALSE, FALSE, sizeof (double)),
                          .y = g_array_new (FALSE, FALSE, sizeof (double)) };
  g_autoptr (FaintRows) rows = NULL;
  gboolean named_steps = strcmp (file->table->label, "XYDATA") == 0, by_steps, by_pairs;
  g_autofree char *form = g_strdup (file->table->value);

  for (char *p = form, *q = form;; q++)
    if (!g_ascii_isspace (*q) && (*p++ = g_ascii_toupper (*q)) == '\0')
      break;
  by_steps = named_steps && strcmp (form, "(X++(Y..Y))") == 0;
  by_pairs = strcmp (form, "(XY..XY)") == 0; /* also under XYDATA; common practice, no source */
  if (!by_steps && !by_pairs)
    {
      fail_record (&self, file->table,
                   named_steps ? _ ("'##%s= %s': (X++(Y..Y)) was expected.")
                               : _ ("'##%s= %s': (XY..XY) was expected."),
                   error);
      return NULL;
    }
  if (!read_frame (&self, error)
      || !(by_steps ? read_data (&self, error) : read_points (&self, error))
      || !check_sums (&self, error))
    return NULL;
  rows = rows_of (&self);
  return check_places (&self, rows, error) ? g_steal_pointer (&rows) : NULL;
}
