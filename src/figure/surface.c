/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "figure/surface.h"

#include "faint/base/files.h"

#include <cairo-pdf.h>
#include <cairo-svg.h>
#include <math.h>
#include <string.h>

G_DEFINE_QUARK (faint - surface - error - quark, faint_surface_error)

/* Cairo's image surfaces hold at most 32767 pixels a side. */
#define MOST_PIXELS 32767.0
/* A PDF page is at most 14400 units a side (ISO 32000-1, annex C); SVG is held to the same. */
#define MOST_POINTS 14400.0

double
faint_surface_points (double mm)
{
  return mm * 72.0 / 25.4;
}

gboolean
faint_surface_format_of (const char *path, FaintSurfaceFormat *format, GError **error)
{
  static const char *const endings[] = { ".png", ".svg", ".pdf" };
  static const FaintSurfaceFormat formats[]
      = { FAINT_SURFACE_PNG, FAINT_SURFACE_SVG, FAINT_SURFACE_PDF };
  gsize length = strlen (path);

  for (guint i = 0; i < G_N_ELEMENTS (endings); i++)
    if (length > 4 && g_ascii_strcasecmp (path + length - 4, endings[i]) == 0)
      {
        *format = formats[i];
        return TRUE;
      }
  g_set_error (error, FAINT_SURFACE_ERROR, FAINT_SURFACE_ERROR_FORMAT,
               "%s: the ending of the name must be .png, .svg or .pdf, so that the kind of picture "
               "is known.",
               path);
  return FALSE;
}

static cairo_status_t
append (void *closure, const unsigned char *bytes, unsigned int length)
{
  g_byte_array_append (closure, bytes, length);
  return CAIRO_STATUS_SUCCESS;
}

static gboolean
check_size (const FaintSurfaceJob *job, GError **error)
{
  gboolean is_png = job->format == FAINT_SURFACE_PNG;
  double scale = is_png ? job->scale : 1.0, most = is_png ? MOST_PIXELS : MOST_POINTS;
  double width = job->width * scale, height = job->height * scale;

  if (width >= 1.0 && height >= 1.0 && width <= most && height <= most)
    return TRUE;
  g_set_error (error, FAINT_SURFACE_ERROR, FAINT_SURFACE_ERROR_SIZE,
               "A picture of %.0f x %.0f %s cannot be made; each side must lie between 1 and %.0f.",
               width, height, is_png ? "pixels" : "points", most);
  return FALSE;
}

static void
set_metadata (cairo_surface_t *surface, const FaintSurfaceJob *job)
{
  const char *date = job->date != NULL ? job->date : "1970-01-01T00:00:00Z";
  const struct
  {
    cairo_pdf_metadata_t key;
    const char *value;
  } entries[] = {
    { CAIRO_PDF_METADATA_TITLE, job->title },       { CAIRO_PDF_METADATA_SUBJECT, job->subject },
    { CAIRO_PDF_METADATA_KEYWORDS, job->keywords }, { CAIRO_PDF_METADATA_CREATOR, job->creator },
    { CAIRO_PDF_METADATA_AUTHOR, job->author },     { CAIRO_PDF_METADATA_CREATE_DATE, date },
    { CAIRO_PDF_METADATA_MOD_DATE, date },
  };
  for (guint i = 0; i < G_N_ELEMENTS (entries); i++)
    if (entries[i].value != NULL && entries[i].value[0] != '\0')
      cairo_pdf_surface_set_metadata (surface, entries[i].key, entries[i].value);
}

static void
set_outline (cairo_surface_t *surface, const FaintSurfaceJob *job)
{
  for (guint i = 0; i < job->n_marks; i++)
    {
      char y[G_ASCII_DTOSTR_BUF_SIZE];
      g_autofree char *place
          = g_strdup_printf ("page=%u pos=[0 %s]", job->marks[i].page + 1,
                             g_ascii_formatd (y, sizeof y, "%.2f", job->marks[i].y));
      cairo_pdf_surface_add_outline (surface, CAIRO_PDF_OUTLINE_ROOT, job->marks[i].title, place,
                                     0);
    }
}

static cairo_surface_t *
surface_new (const FaintSurfaceJob *job, GByteArray *bytes)
{
  cairo_surface_t *surface = NULL;
  switch (job->format)
    {
    case FAINT_SURFACE_PNG:
      surface
          = cairo_image_surface_create (CAIRO_FORMAT_ARGB32, (int)lround (job->width * job->scale),
                                        (int)lround (job->height * job->scale));
      cairo_surface_set_device_scale (surface, job->scale, job->scale);
      break;
    case FAINT_SURFACE_SVG:
      surface = cairo_svg_surface_create_for_stream (append, bytes, job->width, job->height);
      break;
    case FAINT_SURFACE_PDF:
      surface = cairo_pdf_surface_create_for_stream (append, bytes, job->width, job->height);
      set_metadata (surface, job);
      break;
    }
  return surface;
}

/* Draws all pages and ends the surface; its status is known only then. */
static cairo_status_t
draw_pages (const FaintSurfaceJob *job, cairo_surface_t *surface, GByteArray *bytes)
{
  cairo_t *cr = cairo_create (surface);
  guint pages = job->format == FAINT_SURFACE_PDF ? MAX (job->pages, 1) : 1;

  for (guint page = 0; page < pages; page++)
    {
      cairo_save (cr);
      job->draw (cr, page, job->data);
      cairo_restore (cr);
      if (job->format == FAINT_SURFACE_PDF)
        cairo_show_page (cr);
    }
  cairo_status_t status = cairo_status (cr);
  cairo_destroy (cr);
  if (status == CAIRO_STATUS_SUCCESS && job->format == FAINT_SURFACE_PDF)
    set_outline (surface, job);
  if (status == CAIRO_STATUS_SUCCESS && job->format == FAINT_SURFACE_PNG)
    status = cairo_surface_write_to_png_stream (surface, append, bytes);
  cairo_surface_finish (surface);
  return status != CAIRO_STATUS_SUCCESS ? status : cairo_surface_status (surface);
}

/* Cairo names the groups of an SVG after a counter of the process, "surface17": renamed in order of
 * appearance, so that the same drawing gives the same bytes. */
static GByteArray *
with_steady_names (GByteArray *bytes)
{
  static const char word[] = "surface";
  g_autoptr (GHashTable) numbers = g_hash_table_new (NULL, NULL);
  GByteArray *out = g_byte_array_new ();

  g_byte_array_append (bytes, (const guint8 *)"", 1);
  const char *at = (const char *)bytes->data, *next;
  while ((next = strstr (at, word)) != NULL)
    {
      char *after;
      const char *digits = next + strlen (word);
      guint64 number = g_ascii_strtoull (digits, &after, 10);
      gboolean is_name = after > digits && (next[-1] == '"' || next[-1] == '#');
      g_byte_array_append (out, (const guint8 *)at, (guint)(digits - at));
      at = digits;
      if (!is_name)
        continue;
      gpointer key = GUINT_TO_POINTER ((guint)number);
      if (!g_hash_table_contains (numbers, key))
        g_hash_table_insert (numbers, key, GUINT_TO_POINTER (g_hash_table_size (numbers) + 1));
      g_autofree char *name
          = g_strdup_printf ("%u", GPOINTER_TO_UINT (g_hash_table_lookup (numbers, key)));
      g_byte_array_append (out, (const guint8 *)name, (guint)strlen (name));
      at = after;
    }
  g_byte_array_append (out, (const guint8 *)at, (guint)strlen (at));
  g_byte_array_unref (bytes);
  return out;
}

GBytes *
faint_surface_render (const FaintSurfaceJob *job, GError **error)
{
  if (!check_size (job, error))
    return NULL;
  GByteArray *bytes = g_byte_array_new ();
  cairo_surface_t *surface = surface_new (job, bytes);
  cairo_status_t status = cairo_surface_status (surface);

  if (status == CAIRO_STATUS_SUCCESS)
    status = draw_pages (job, surface, bytes);
  cairo_surface_destroy (surface);
  if (status == CAIRO_STATUS_SUCCESS && job->format == FAINT_SURFACE_SVG)
    bytes = with_steady_names (bytes);
  if (status == CAIRO_STATUS_SUCCESS)
    return g_byte_array_free_to_bytes (bytes);
  g_byte_array_unref (bytes);
  g_set_error (error, FAINT_SURFACE_ERROR, FAINT_SURFACE_ERROR_DRAW,
               "The picture could not be drawn: %s.", cairo_status_to_string (status));
  return NULL;
}

gboolean
faint_surface_write (const FaintSurfaceJob *job, const char *path, GError **error)
{
  g_autoptr (GBytes) bytes = faint_surface_render (job, error);
  gsize length;

  if (bytes == NULL)
    return FALSE;
  const char *start = g_bytes_get_data (bytes, &length);
  return faint_files_write (path, start, length, error);
}
