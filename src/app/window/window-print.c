/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Printing of the report and of the figure, and the figure on the clipboard.
 */
#include "app/window/window-private.h"

#include <glib/gi18n.h>

#include "app/assignment/assigner.h"
#include "faint/base/date.h"
#include "figure/report.h"
#include "app/window/record-window.h"

/* Margin of a printed figure, mm. */
#define MARGIN 12.0

/* What a print operation draws, kept as it was when printing began. */
typedef struct
{
  FaintWindow *window; /* owned */
  FaintReportPages *pages;
} Print;

static void
print_free (gpointer data)
{
  Print *print = data;

  g_object_unref (print->window);
  faint_report_pages_free (print->pages);
  g_free (print);
}

static void
on_draw_report (GtkPrintOperation *operation, GtkPrintContext *context, int page, Print *print)
{
  FaintPaper *paper = faint_report_pages_get_paper (print->pages);
  cairo_t *cr = gtk_print_context_get_cairo_context (context);
  double width = gtk_print_context_get_width (context) / faint_paper_width (paper);
  double height = gtk_print_context_get_height (context) / faint_paper_height (paper);

  /* other paper than A4: as large as fits */
  cairo_scale (cr, MIN (width, height), MIN (width, height));
  faint_paper_draw (cr, (guint)page, paper);
}

static void
on_draw_figure (GtkPrintOperation *operation, GtkPrintContext *context, int page, Print *print)
{
  double margin = MARGIN * 72.0 / 25.4;
  FaintRect place = { margin, margin, gtk_print_context_get_width (context) - 2.0 * margin,
                      gtk_print_context_get_height (context) - 2.0 * margin };

  _faint_window_draw_figure (print->window, gtk_print_context_get_cairo_context (context), place);
}

static void
on_done (GtkPrintOperation *operation, GtkPrintOperationResult result, Print *print)
{
  g_autoptr (GError) error = NULL;

  if (result != GTK_PRINT_OPERATION_RESULT_ERROR || print->window->document == NULL)
    return;
  gtk_print_operation_get_error (operation, &error);
  faint_window_say (print->window, _ ("Nothing was printed"), error ? error->message : "");
}

static GtkPageSetup *
page_setup_new (gboolean landscape)
{
  GtkPageSetup *setup = gtk_page_setup_new ();
  GtkPaperSize *paper = gtk_paper_size_new (GTK_PAPER_NAME_A4);

  gtk_page_setup_set_paper_size_and_default_margins (setup, paper);
  gtk_page_setup_set_orientation (setup, landscape ? GTK_PAGE_ORIENTATION_LANDSCAPE
                                                   : GTK_PAGE_ORIENTATION_PORTRAIT);
  gtk_paper_size_free (paper);
  return setup;
}

static FaintReportPages *
report_pages (FaintWindow *self)
{
  g_autofree char *date = faint_date_now ();
  g_autoptr (GPtrArray) bands = _faint_window_bands (self);
  const char *path = faint_document_get_path (self->document);
  g_autofree char *stored = path ? g_path_get_basename (path) : NULL;
  FaintReportOptions options
      = { .form = FAINT_REPORT_FULL, .date = date, .stored = stored, .bands = bands };

  return faint_report_pages_new (faint_document_get_analysis (self->document), &options);
}

GPtrArray *
_faint_window_bands (FaintWindow *self)
{
  return faint_report_bands_new (faint_assigner_get_result (faint_assigner_of (self->document)));
}

void
_faint_window_print (FaintWindow *self, FaintPrinted what, GtkPrintOperationAction action,
                     const char *path)
{
  g_autoptr (GtkPrintOperation) operation = gtk_print_operation_new ();
  gboolean is_figure = what == FAINT_PRINTED_FIGURE;
  g_autoptr (GtkPageSetup) setup = page_setup_new (is_figure);
  g_autofree char *title = faint_document_get_title (self->document);
  Print *print = g_new0 (Print, 1);

  print->window = g_object_ref (self);
  if (!is_figure)
    print->pages = report_pages (self);
  g_object_set_data_full (G_OBJECT (operation), "faint-print", print, print_free);
  gtk_print_operation_set_n_pages (
      operation,
      is_figure ? 1 : (int)faint_paper_count_pages (faint_report_pages_get_paper (print->pages)));
  gtk_print_operation_set_default_page_setup (operation, setup);
  gtk_print_operation_set_use_full_page (operation, TRUE);
  gtk_print_operation_set_unit (operation, GTK_UNIT_POINTS);
  gtk_print_operation_set_job_name (operation, title);
  gtk_print_operation_set_embed_page_setup (operation, is_figure);
  if (path)
    gtk_print_operation_set_export_filename (operation, path);
  g_signal_connect (operation, "draw-page",
                    is_figure ? G_CALLBACK (on_draw_figure) : G_CALLBACK (on_draw_report), print);
  g_signal_connect (operation, "done", G_CALLBACK (on_done), print);
  gtk_print_operation_run (operation, action, GTK_WINDOW (self), NULL);
}

void
_faint_window_print_report (FaintWindow *self)
{
  _faint_window_print (self, FAINT_PRINTED_REPORT, GTK_PRINT_OPERATION_ACTION_PRINT_DIALOG, NULL);
}

void
_faint_window_print_figure (FaintWindow *self)
{
  _faint_window_print (self, FAINT_PRINTED_FIGURE, GTK_PRINT_OPERATION_ACTION_PRINT_DIALOG, NULL);
}

void
_faint_window_copy_figure (FaintWindow *self)
{
  static const struct
  {
    const char *type;
    FaintSurfaceFormat format;
  } kinds[] = { { "image/png", FAINT_SURFACE_PNG }, { "image/svg+xml", FAINT_SURFACE_SVG } };
  GdkContentProvider *providers[G_N_ELEMENTS (kinds)];
  g_autoptr (GdkContentProvider) all = NULL;
  guint n = 0;

  for (guint i = 0; i < G_N_ELEMENTS (kinds); i++)
    {
      g_autoptr (GError) error = NULL;
      g_autoptr (GBytes) bytes = _faint_window_render_figure (self, kinds[i].format, &error);

      if (bytes)
        providers[n++] = gdk_content_provider_new_for_bytes (kinds[i].type, bytes);
      else
        faint_window_say (self, _ ("The figure was not copied"), error->message);
    }
  all = gdk_content_provider_new_union (providers, n);
  gdk_clipboard_set_content (gtk_widget_get_clipboard (GTK_WIDGET (self)), all);
  if (n == G_N_ELEMENTS (kinds))
    gtk_label_set_text (GTK_LABEL (self->status_label), _ ("Figure copied"));
}

void
_faint_window_show_record (FaintWindow *self)
{
  gtk_window_present (GTK_WINDOW (faint_record_window_new (GTK_WINDOW (self), self->document)));
}
