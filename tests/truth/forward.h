/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A forward model that shares nothing with the library: lines drawn at random, their profile by
 * libcerf's w(z), the cavity by its closed formula in complex numbers, noise from a generator of
 * its own. It writes a comb table and keeps the truth.
 *
 * Formulas: the steady-state field of a tooth in a cavity as in Foltynowicz et al., Appl. Phys. B
 * 110, 163 (2013), written for the field; swept coupling by integrating the Lorentzian of the mode
 * over the sweep (Adler et al., Annu. Rev. Anal. Chem. 3, 175 (2010)).
 */
#pragma once

#include <glib.h>

typedef enum
{
  TRUTH_POWER,
  TRUTH_AMPLITUDE,
  TRUTH_FIELD,
  TRUTH_SWEPT, /* power, swept */
} TruthKind;

typedef enum
{
  TRUTH_COLUMNS_TRANSMISSION,   /* no uncertainty stated */
  TRUTH_COLUMNS_TRANSMISSION_U, /* stated */
  TRUTH_COLUMNS_SIGNAL,         /* signal, reference, u(signal) */
} TruthColumns;

typedef struct
{
  const char *name;
  TruthKind kind;
  TruthColumns columns; /* a field has real, imag, and u of both unless TRANSMISSION */
  int n_lines;
  double noise;    /* standard deviation of one sample relative to the empty cavity */
  double detuning; /* tooth minus mode, in full widths of the mode */
  double lorentz_from, lorentz_to; /* of the Doppler width */
  guint64 seed;
} TruthCase;

typedef struct
{
  double position, strength, lorentz, doppler; /* cm-1, cm/molecule */
  double peak;       /* 1 - |E/E0|^2 (power) or 1 - |E/E0| (amplitude, field) of the line alone */
  gboolean isolated; /* nearest other line beyond 4 Doppler widths */
} TruthLine;

typedef struct
{
  const TruthCase *what;
  int n;
  TruthLine *lines; /* by rising position */
} Truth;

/* Draws the lines of @what. */
Truth *truth_new (const TruthCase *what);
void truth_free (Truth *self);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (Truth, truth_free)

/* Writes the comb table with noise to @path. */
void truth_write_comb (const Truth *self, const char *path);
/* Writes position, strength, widths, peak as CSV, for looking at. */
void truth_write_lines (const Truth *self, const char *path);

/* The generator: uniform in (0, 1), and standard normal. */
double truth_uniform (guint64 *state);
double truth_normal (guint64 *state);
