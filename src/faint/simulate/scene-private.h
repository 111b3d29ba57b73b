/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What a scene holds once it is read.
 */
#pragma once

#include "faint/simulate/scene.h"

typedef enum
{
  FAINT_SCENE_WRITE_REFERENCE,    /* signal reference u(signal) */
  FAINT_SCENE_WRITE_TRANSMISSION, /* transmission u(transmission) */
  FAINT_SCENE_WRITE_CARTESIAN,    /* real imag u(real) u(imag) */
  FAINT_SCENE_WRITE_POLAR,        /* signal reference phase/rad u(signal) u(phase)/rad */
} FaintSceneWrite;

struct _FaintScene
{
  char *path;
  FaintSetup *setup;
  gint64 first_tooth;
  gint64 teeth; /* of one record */
  gint64 interleave;
  double noise;
  gboolean shot;
  GArray *baseline;       /* double: Legendre coefficients */
  GArray *baseline_phase; /* double, rad */
  double fringe_amplitude, fringe_period, fringe_phase;
  double reference_level;
  FaintAxis axis;
  FaintSceneWrite write;
  FaintLineList *lines;
};

/* The most samples that a scene may ask for. */
#define FAINT_SCENE_MAX_SAMPLES 10000000

/* Sets the error and returns FALSE. */
gboolean faint_scene_refuse (GError **error, FaintSceneError code, const char *format, ...)
    G_GNUC_PRINTF (3, 4);

/* FaintLine as stated become those at the conditions of @setup, without anything of a fit. Where no
 * Lorentz width is stated it follows from the broadening coefficients, and the position, then that
 * without pressure, moves by the shift coefficients; a strength at 296 K goes to the scene's
 * temperature; a Doppler width that is not given follows from temperature and mass. */
gboolean faint_scene_settle_lines (GArray *lines, const FaintSetup *setup, GError **error);
