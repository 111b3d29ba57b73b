/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Pictures: kinds by their first bytes (PNG: W3C PNG specification, 5.2; PDF: ISO 32000-1, 7.5.2),
 * number of pages, reproducible bytes, and every refusal.
 */
#define _GNU_SOURCE
#include "figure/surface.h"

#include "faint-test.h"
#include "faint/base/files.h"

#include <string.h>

static void
draw_page (cairo_t *cr, guint page, gpointer data)
{
  cairo_rectangle (cr, 10.0 * (page + 1), 10.0, 30.0, 30.0);
  cairo_set_source_rgb (cr, 0.8, 0.3, 0.1);
  cairo_fill (cr);
}

static FaintSurfaceJob
job_of (FaintSurfaceFormat format)
{
  return (FaintSurfaceJob){ .format = format,
                            .width = 200.0,
                            .height = 100.0,
                            .scale = 2.0,
                            .pages = 3,
                            .title = "a title",
                            .creator = "test",
                            .date = "2026-01-02T03:04:05Z",
                            .draw = draw_page };
}

static guint
count (const char *bytes, gsize length, const char *words)
{
  guint found = 0;
  const char *at = bytes;
  while ((at = memmem (at, length - (gsize)(at - bytes), words, strlen (words))) != NULL)
    {
      found++;
      at += strlen (words);
    }
  return found;
}

static void
test_kinds (void)
{
  static const char *const starts[] = { "\x89PNG\r\n\x1a\n", "<?xml", "%PDF-" };
  for (int format = 0; format < 3; format++)
    {
      g_autoptr (GError) error = NULL;
      FaintSurfaceJob job = job_of (format);
      g_autoptr (GBytes) bytes = faint_surface_render (&job, &error);
      g_assert_no_error (error);
      gsize length;
      const char *start = g_bytes_get_data (bytes, &length);
      g_assert_cmpint (memcmp (start, starts[format], strlen (starts[format])), ==, 0);
      if (format == FAINT_SURFACE_PNG)
        {
          /* width and height stand big-endian at bytes 16 to 23 of the IHDR chunk */
          g_assert_cmpint ((guint8)start[19] | (guint8)start[18] << 8, ==, 400);
          g_assert_cmpint ((guint8)start[23] | (guint8)start[22] << 8, ==, 200);
        }
      if (format == FAINT_SURFACE_PDF)
        g_assert_cmpuint (
            count (start, length, "/Type /Page") - count (start, length, "/Type /Pages"), ==, 3);
    }
}

static void
test_reproducible (void)
{
  for (int format = 0; format < 3; format++)
    {
      FaintSurfaceJob job = job_of (format);
      g_autoptr (GBytes) first = faint_surface_render (&job, NULL);
      g_usleep (1100000); /* a clock that counts seconds must not show */
      g_autoptr (GBytes) second = faint_surface_render (&job, NULL);
      g_assert_true (g_bytes_equal (first, second));
    }
}

static void
test_write (void)
{
  char *folder = faint_test_folder_new ();
  g_autofree char *path = g_build_filename (folder, "figure.pdf", NULL);
  g_autofree char *nowhere = g_build_filename (folder, "no", "such", "figure.pdf", NULL);
  FaintSurfaceJob job = job_of (FAINT_SURFACE_PDF);
  GError *error = NULL;

  g_assert_true (faint_surface_write (&job, path, &error));
  g_assert_no_error (error);
  g_assert_true (g_file_test (path, G_FILE_TEST_IS_REGULAR));
  g_assert_false (faint_surface_write (&job, nowhere, &error));
  faint_assert_error_says (error, FAINT_FILES_ERROR, "figure.pdf");
  faint_test_folder_remove (folder);
}

static void
test_refusals (void)
{
  GError *error = NULL;
  FaintSurfaceFormat format;
  FaintSurfaceJob job = job_of (FAINT_SURFACE_PNG);

  g_assert_true (faint_surface_format_of ("a.b/run.SVG", &format, &error));
  g_assert_cmpint (format, ==, FAINT_SURFACE_SVG);
  g_assert_false (faint_surface_format_of ("run.bmp", &format, &error));
  faint_assert_error_says (error, FAINT_SURFACE_ERROR, ".png, .svg or .pdf");
  g_assert_false (faint_surface_format_of (".png", &format, &error));
  faint_assert_error_says (error, FAINT_SURFACE_ERROR, "ending");
  job.width = 20000.0; /* 40000 pixels at scale 2 */
  g_assert_null (faint_surface_render (&job, &error));
  faint_assert_error_says (error, FAINT_SURFACE_ERROR, "40000");
  job.width = 0.0;
  g_assert_null (faint_surface_render (&job, &error));
  faint_assert_error_says (error, FAINT_SURFACE_ERROR, "between 1 and");
}

static void
test_millimetres (void)
{
  /* an inch is 25.4 mm and 72 points */
  faint_assert_close (faint_surface_points (25.4), 72.0, 1e-15, "exact by definition");
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/surface/kinds", test_kinds);
  g_test_add_func ("/surface/reproducible", test_reproducible);
  g_test_add_func ("/surface/write", test_write);
  g_test_add_func ("/surface/refusals", test_refusals);
  g_test_add_func ("/surface/millimetres", test_millimetres);
  return g_test_run ();
}
