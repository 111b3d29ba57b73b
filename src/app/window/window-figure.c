/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What the plots draw is prepared in a thread; the latest wins. The same drawing is exported.
 */
#include "app/window/window-private.h"

#include <math.h>

#include "faint/base/files.h"
#include "app/what-if/what-if-box.h"

/* Figure of an article over two columns: width and height, mm. */
#define FIGURE_WIDTH 180.0
#define FIGURE_HEIGHT 140.0
/* Pixels of a PNG for a point: 216 to the inch. */
#define FIGURE_SCALE 3.0

typedef struct
{
  FaintSpectrum *spectrum;
  FaintFit *fit; /* may be NULL */
  FaintLineList *lines;
} Sources;

static void
sources_free (gpointer data)
{
  Sources *sources = data;

  faint_spectrum_unref (sources->spectrum);
  g_clear_pointer (&sources->fit, faint_fit_unref);
  faint_line_list_unref (sources->lines);
  g_free (sources);
}

static void
make_in_thread (GTask *task, gpointer source, gpointer data, GCancellable *cancellable)
{
  const Sources *sources = data;

  g_task_return_pointer (task,
                         faint_figure_data_new (sources->spectrum, sources->fit, sources->lines),
                         (GDestroyNotify)faint_figure_data_unref);
}

/* A review in the plots stays; the document's are made anew when it goes. */
static void
show (FaintWindow *self, FaintFigureData *data)
{
  if (_faint_window_shows_review (self))
    return;
  faint_what_if_box_set_data (FAINT_WHAT_IF_BOX (self->what_if), data);
  faint_plot_set_data (FAINT_PLOT (self->plot), data);
  faint_overview_set_data (FAINT_OVERVIEW (self->overview), data);
}

static void
on_made (GObject *source, GAsyncResult *result, gpointer user_data)
{
  g_autoptr (FaintWindow) self = user_data;
  g_autoptr (FaintFigureData) data = g_task_propagate_pointer (G_TASK (result), NULL);
  FaintLineList *lines;

  /* cancelled: a later one is on its way, or the window is gone */
  if (data == NULL || self->plot == NULL)
    return;
  g_clear_object (&self->figure_work);
  lines = faint_document_get_lines (self->document);
  if (lines && lines != data->lines)
    {
      g_autoptr (FaintFigureData) with_lines = faint_figure_data_with_lines (data, lines);

      show (self, with_lines);
    }
  else
    show (self, data);
}

static void
make (FaintWindow *self, FaintAnalysis *analysis)
{
  Sources *sources = g_new0 (Sources, 1);
  FaintFit *fit = faint_document_get_fit (self->document);
  g_autoptr (GTask) task = NULL;

  if (self->figure_work)
    g_cancellable_cancel (self->figure_work);
  g_clear_object (&self->figure_work);
  self->figure_work = g_cancellable_new ();
  sources->spectrum = faint_spectrum_ref (faint_document_get_spectrum (self->document));
  sources->fit = fit ? faint_fit_ref (fit) : NULL;
  sources->lines = faint_line_list_ref (faint_analysis_get_lines (analysis));
  task = g_task_new (NULL, self->figure_work, on_made, g_object_ref (self));
  g_task_set_task_data (task, sources, sources_free);
  g_task_run_in_thread (task, make_in_thread);
}

void
_faint_window_update_figure (FaintWindow *self, guint change)
{
  FaintAnalysis *analysis = faint_document_get_analysis (self->document);
  FaintFigureData *data = faint_plot_get_data (FAINT_PLOT (self->plot));

  if (analysis == NULL || _faint_window_shows_review (self))
    return;
  if (data == NULL || self->figure_work
      || (change & (FAINT_CHANGE_SPECTRUM | FAINT_CHANGE_FIT | FAINT_CHANGE_OPENED)))
    make (self, analysis);
  else if (change & FAINT_CHANGE_LINES)
    {
      g_autoptr (FaintFigureData) with_lines
          = faint_figure_data_with_lines (data, faint_analysis_get_lines (analysis));

      show (self, with_lines);
    }
}

void
_faint_window_draw_figure (FaintWindow *self, cairo_t *cr, FaintRect place)
{
  FaintCanvas canvas = faint_canvas_for_paper (cr, NULL);
  FaintSpectrumFigure figure;
  FaintRange across;

  faint_plot_get_figure (FAINT_PLOT (self->plot), &figure);
  /* what is selected or marked belongs to the hand at the window, not to the figure */
  figure.selected = 0;
  figure.range = (FaintRange){ NAN, NAN };
  faint_session_get_view (self->session, &across.lower, &across.upper);
  faint_canvas_fill (&canvas, FAINT_PART_BACKGROUND, place);
  faint_spectrum_figure_draw (&figure, &canvas, place,
                              faint_plot_get_data (FAINT_PLOT (self->plot)), across);
}

static void
draw (cairo_t *cr, guint page, gpointer user_data)
{
  _faint_window_draw_figure (user_data, cr,
                             (FaintRect){ .width = faint_surface_points (FIGURE_WIDTH),
                                          .height = faint_surface_points (FIGURE_HEIGHT) });
}

GBytes *
_faint_window_render_figure (FaintWindow *self, FaintSurfaceFormat format, GError **error)
{
  g_autofree char *title = faint_document_get_title (self->document);
  FaintSurfaceJob job = { .format = format,
                          .width = faint_surface_points (FIGURE_WIDTH),
                          .height = faint_surface_points (FIGURE_HEIGHT),
                          .scale = format == FAINT_SURFACE_PNG ? FIGURE_SCALE : 1.0,
                          .pages = 1,
                          .title = title,
                          .creator = "Faintline " FAINT_VERSION,
                          .draw = draw,
                          .data = self };

  return faint_surface_render (&job, error);
}

gboolean
_faint_window_write_figure (FaintWindow *self, const char *path, GError **error)
{
  FaintSurfaceFormat format;
  g_autoptr (GBytes) bytes = NULL;
  const char *start;
  gsize length;

  if (!faint_surface_format_of (path, &format, error))
    return FALSE;
  bytes = _faint_window_render_figure (self, format, error);
  if (bytes == NULL)
    return FALSE;
  start = g_bytes_get_data (bytes, &length);
  return faint_files_write (path, start, length, error);
}
