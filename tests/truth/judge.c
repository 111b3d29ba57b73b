/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "judge.h"

#include <math.h>
#include <string.h>

/* What is asked. Rules of the trade, no source, except where a reason stands. */
#define SOUGHT_DEVIATIONS                                                                          \
  12.0 /* a line this high in one tooth stands some 25 deviations high in all */
#define FOUND_SHARE 0.98
#define FALSE_MOST 1
#define STRONG_PEAK 0.2
#define STRONG_WITHIN 0.003
#define PULL_BIAS 0.05
#define PULL_WIDTH 0.2

static int
column_of (char **heads, const char *name)
{
  for (int i = 0; heads[i] != NULL; i++)
    if (strcmp (g_strstrip (heads[i]), name) == 0)
      return i;
  g_error ("no column '%s'", name);
}

static double
cell (char **cells, int column)
{
  char *end;
  double value;

  if ((guint)column >= g_strv_length (cells))
    g_error ("a row of lines.csv is too short");
  value = g_ascii_strtod (cells[column], &end);
  return end == cells[column] ? NAN : value;
}

GArray *
fitted_read (const char *path)
{
  g_autofree char *text = NULL;
  g_autoptr (GError) error = NULL;
  g_auto (GStrv) rows = NULL;
  GArray *fitted = g_array_new (FALSE, FALSE, sizeof (FittedLine));
  int position = -1, u_position = -1, strength = -1, u_strength = -1, lorentz = -1;

  if (!g_file_get_contents (path, &text, NULL, &error))
    g_error ("%s", error->message);
  rows = g_strsplit (text, "\n", -1);
  for (char **row = rows; *row != NULL; row++)
    {
      g_auto (GStrv) cells = NULL;
      FittedLine line;

      if (**row == '#' || **row == '\0')
        continue;
      cells = g_strsplit (*row, ",", -1);
      if (position < 0)
        {
          position = column_of (cells, "position/cm-1");
          u_position = column_of (cells, "u(position)/cm-1");
          strength = column_of (cells, "strength/(cm/molecule)");
          u_strength = column_of (cells, "u_noise(strength)/(cm/molecule)");
          lorentz = column_of (cells, "lorentz_hwhm/cm-1");
          continue;
        }
      line = (FittedLine){ cell (cells, position), cell (cells, u_position), cell (cells, strength),
                           cell (cells, u_strength), cell (cells, lorentz) };
      g_array_append_val (fitted, line);
    }
  if (position < 0)
    g_error ("%s has no head row", path);
  return fitted;
}

double
pulls_mean (const Pulls *self)
{
  return self->n > 0 ? self->sum / self->n : 0.0;
}

double
pulls_width (const Pulls *self)
{
  double mean = pulls_mean (self);

  return self->n > 1 ? sqrt ((self->sum2 - self->n * mean * mean) / (self->n - 1)) : 1.0;
}

void
pulls_add (Pulls *self, const Pulls *other)
{
  self->n += other->n;
  self->sum += other->sum;
  self->sum2 += other->sum2;
}

static void
pull (Pulls *self, double got, double want, double u)
{
  double error = (got - want) / u;

  self->n++;
  self->sum += error;
  self->sum2 += error * error;
}

/* The fitted line nearest to @position and how many lie within @range. */
static const FittedLine *
nearest (const GArray *fitted, double position, double range, int *n_within)
{
  const FittedLine *best = NULL;

  *n_within = 0;
  for (guint i = 0; i < fitted->len; i++)
    {
      const FittedLine *line = &g_array_index (fitted, FittedLine, i);
      double distance = fabs (line->position - position);

      *n_within += distance <= range;
      if (best == NULL || distance < fabs (best->position - position))
        best = line;
    }
  return best;
}

static void
judge_strong (Judgement *self, const TruthLine *line, const FittedLine *fit)
{
  double error = fit->strength / line->strength - 1.0;

  self->strong++;
  self->strong_bias += error;
  self->strong_off
      += !(fabs (error) <= fmax (STRONG_WITHIN, 4.0 * fit->u_strength / line->strength));
}

static void
judge_line (Judgement *self, const TruthLine *line, const GArray *fitted, double noise)
{
  int n_within;
  const FittedLine *fit = nearest (fitted, line->position, line->doppler, &n_within);

  if (!line->isolated)
    return;
  self->split += n_within > 1;
  if (line->peak < SOUGHT_DEVIATIONS * noise)
    return;
  self->sought++;
  if (fit == NULL || fabs (fit->position - line->position) > line->doppler / 3.0)
    return;
  self->found++;
  pull (&self->position, fit->position, line->position, fit->u_position);
  pull (&self->strength, fit->strength, line->strength, fit->u_strength);
  if (line->peak > STRONG_PEAK)
    judge_strong (self, line, fit);
}

Judgement
judge (const Truth *truth, const GArray *fitted)
{
  Judgement self = { .fitted = (int)fitted->len };

  for (int i = 0; i < truth->n; i++)
    judge_line (&self, &truth->lines[i], fitted, truth->what->noise);
  if (self.strong > 0)
    self.strong_bias /= self.strong;
  for (guint k = 0; k < fitted->len; k++)
    {
      double position = g_array_index (fitted, FittedLine, k).position;
      gboolean near = FALSE;

      for (int i = 0; i < truth->n && !near; i++)
        near = fabs (truth->lines[i].position - position) <= truth->lines[i].doppler;
      self.false_lines += !near;
    }
  return self;
}

static void
complain_about_pulls (GString *text, const char *what, const Pulls *pulls)
{
  double mean = pulls_mean (pulls), width = pulls_width (pulls);

  if (pulls->n == 0)
    return;
  /* Three standard errors of a mean of n standard normal numbers, and of their width. */
  if (!(fabs (mean) < 3.0 / sqrt (pulls->n) + PULL_BIAS))
    g_string_append_printf (text, "; pulls of %s have mean %.3f", what, mean);
  if (!(fabs (width - 1.0) < PULL_WIDTH + 3.0 / sqrt (2.0 * pulls->n)))
    g_string_append_printf (text, "; pulls of %s have width %.3f", what, width);
}

char *
judgement_complaint (const Judgement *self)
{
  g_autoptr (GString) text = g_string_new (NULL);

  if (self->found < FOUND_SHARE * self->sought)
    g_string_append_printf (text, "; %d of %d isolated lines found", self->found, self->sought);
  if (self->false_lines > FALSE_MOST)
    g_string_append_printf (text, "; %d false lines", self->false_lines);
  if (self->strong_off > 0 || fabs (self->strong_bias) > STRONG_WITHIN)
    g_string_append_printf (text, "; %d of %d strong lines off, mean relative error %.2e",
                            self->strong_off, self->strong, self->strong_bias);
  complain_about_pulls (text, "position", &self->position);
  complain_about_pulls (text, "strength", &self->strength);
  return text->len > 0 ? g_strdup (text->str + 2) : NULL;
}
