/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The one place that knows cairo's surfaces: drawings become PNG, SVG or PDF, whole or not at all.
 */
#pragma once

#include <cairo.h>
#include <glib.h>

#define FAINT_SURFACE_ERROR (faint_surface_error_quark ())
GQuark faint_surface_error_quark (void);
typedef enum
{
  FAINT_SURFACE_ERROR_FORMAT, /* the name ends in nothing that is known */
  FAINT_SURFACE_ERROR_SIZE,   /* empty, or too large for a picture */
  FAINT_SURFACE_ERROR_DRAW,   /* cairo reports a failure: no memory, ... */
} FaintSurfaceError;

typedef enum
{
  FAINT_SURFACE_PNG,
  FAINT_SURFACE_SVG,
  FAINT_SURFACE_PDF,
} FaintSurfaceFormat;

/* By the ending of @path, .png, .svg or .pdf in any case. */
gboolean faint_surface_format_of (const char *path, FaintSurfaceFormat *format, GError **error);

/* Draws page @page (from 0) in user units of @width x @height. */
typedef void (*FaintSurfaceDraw) (cairo_t *cr, guint page, gpointer data);

/* A place that the outline of a PDF leads to. */
typedef struct
{
  char *title; /* plain text */
  guint page;  /* from 0 */
  double y;    /* from the top, points */
} FaintSurfaceMark;

typedef struct
{
  FaintSurfaceFormat format;
  double width, height; /* user units: pixels of a PNG before @scale, points of SVG and PDF */
  double scale;         /* device pixels a user unit of a PNG; 1 for the others */
  guint pages;          /* PDF; 1 for the others */
  const char *title, *subject, *keywords; /* PDF metadata, or NULL */
  const char *author;                     /* of a PDF, or NULL or "" */
  const char *creator;                    /* "program version", or NULL */
  const char *date; /* of a PDF, ISO 8601; NULL: 1970-01-01T00:00:00Z. The same input then gives
                       the same bytes. */
  const FaintSurfaceMark *marks; /* PDF; in the order of the pages */
  guint n_marks;
  FaintSurfaceDraw draw;
  gpointer data;
} FaintSurfaceJob;

/* The bytes of the picture. NULL with FAINT_SURFACE_ERROR. */
GBytes *faint_surface_render (const FaintSurfaceJob *job, GError **error);
/* Renders, then writes whole or not at all (faint/base/files.h). */
gboolean faint_surface_write (const FaintSurfaceJob *job, const char *path, GError **error);

/* Points of a length in mm: 72/25.4. */
double faint_surface_points (double mm);
