/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Between the files of the window: window.c (layout, what is shown), window-actions.c (what can be
 * done), window-files.c (dialogs, saving, closing), window-figure.c (what the plots draw).
 */
#pragma once

#include "app/lines/filter-box.h"
#include "app/lines/line-table.h"
#include "app/parts/message-bar.h"
#include "app/plot/overview.h"
#include "app/plot/plot.h"
#include "app/data/start-page.h"
#include "app/window/window.h"

#include "figure/surface.h"

struct _FaintWindow
{
  GtkApplicationWindow parent;

  /* owned */
  FaintDocument *document;
  FaintSession *session;
  GtkFileChooserNative *dialog;         /* the one that is open, or NULL */
  char *chosen_format;                  /* in it, of a list or a figure, or NULL */
  char *missing;                        /* said of fields that are empty, or NULL */
  GMenu *history_menu;                  /* undo and redo, with their labels */
  GCancellable *figure_work;            /* of the figure data being made, or NULL */
  GCancellable *review_work;            /* the same of a review */
  struct _FaintReviewView *review_view; /* what is shown of a review; NULL: the document */
  /* borrowed */
  FaintSettings *settings;
  GtkWidget *plot, *overview, *table, *assignment_plots;
  GtkWidget *assignment_button; /* of its stage */
  GtkWidget *columns_button;    /* of the line table */
  GtkWidget *what_if, *review_pane, *review_table;
  GtkWidget *tables; /* stack of the line table and that of the review */
  gboolean lanes[2]; /* that the stage Assignment hides, as they were */
  /* template children */
  GtkWidget *recent_button, *undo_button, *redo_button, *stages, *menu_button;
  GtkWidget *message, *content, *start_page;
  GtkWidget *outer, *inner, *plots, *table_box, *panes;
  GtkWidget *title_label, *axis_unit, *count_label, *filter_box, *fold_button;
  GtkWidget *status_label, *job_box, *job_label, *job_bar;

  GtkWidget *focus_outside; /* of popovers: what had the focus last; weak */

  double selected_position; /* cm-1, of the selected line; NAN: none */
  guint job_source;         /* shows a job that lasts */
  guint pulse_source;
  gboolean placed; /* the borders stand where the settings say */
  gboolean close_anyway;
  gboolean close_when_saved;
};

/* window-actions.c */
/* An action of the window, its key and its words. */
typedef struct
{
  const char *name;
  void (*act) (FaintWindow *self);
  guint needs;
  const char *keys; /* of the shortcuts window; NULL: none */
  gboolean local;   /* the key belongs to the window only where no entry wants it */
  const char *words;
} FaintWindowAction; /* without a name: heads the group that follows in the shortcuts window */
const FaintWindowAction *_faint_window_actions (guint *n);
void _faint_window_add_actions (FaintWindow *self);
void _faint_window_update_actions (FaintWindow *self);
/* What @action, which is not possible now, waits for; NULL where there is nothing to say. Free with
 * g_free. */
char *_faint_window_why_not (FaintWindow *self, const char *action);
/* window-keys.c */
/* Keys of the whole application. */
void _faint_window_set_accels (GtkApplication *application);
/* The shortcuts window's description, for GtkBuilder. Free with g_free. */
char *_faint_window_shortcuts_ui (void);

/* window-areas.c */
void _faint_window_next_area (FaintWindow *self);
void _faint_window_previous_area (FaintWindow *self);

/* window-focus.c */
/* What had the focus before a popover gets it back. */
void _faint_window_follow_focus (FaintWindow *self);

/* window-lines.c */
/* Rows selected in the table, else the selected line; guint. Free with g_array_unref. */
GArray *_faint_window_selected_ids (FaintWindow *self);
/* Whether a parameter of one of these is tied. */
gboolean _faint_window_has_ties (FaintWindow *self);
void _faint_window_tie_widths (FaintWindow *self);
void _faint_window_tie_strengths (FaintWindow *self);
void _faint_window_tie_positions (FaintWindow *self);
void _faint_window_release_ties (FaintWindow *self);
void _faint_window_split_line (FaintWindow *self);
/* Windows of their own; those that are open come to the front. */
void _faint_window_show_correlation (FaintWindow *self);
void _faint_window_show_quality (FaintWindow *self);
/* Of all selected lines. */
void _faint_window_set_profile (FaintWindow *self, FaintProfile profile);

void _faint_window_merge_lines (FaintWindow *self);
/* @state FIXED, or FREE: the parameter is released. */
void _faint_window_set_state (FaintWindow *self, FaintPlace place, FaintParameterState state);

/* window-plot.c */
/* Does what the plot asks for. */
void _faint_window_follow_plot (FaintWindow *self);
/* Asks for a position to show. */
void _faint_window_go_to (FaintWindow *self);

/* window-assignment.c */
void _faint_window_assign (FaintWindow *self);
void _faint_window_unassign_all (FaintWindow *self);
/* The plots under the spectrum belong to the stage Assignment; without lines there is no such
 * stage. */
void _faint_window_add_assignment (FaintWindow *self);
void _faint_window_update_assignment (FaintWindow *self);

/* window-what-if.c */
void _faint_window_add_what_if (FaintWindow *self, GtkWidget *pane);
void _faint_window_update_what_if (FaintWindow *self);
void _faint_window_what_if (FaintWindow *self);

/* window-review.c */
void _faint_window_add_review (FaintWindow *self, GtkWidget *pane);
void _faint_window_update_review (FaintWindow *self);
void _faint_window_review (FaintWindow *self);
gboolean _faint_window_can_review (FaintWindow *self);
void _faint_window_sign_off (FaintWindow *self);
gboolean _faint_window_can_sign_off (FaintWindow *self);
/* TRUE while plot and table show a review: the selected line is then one of its rows. */
gboolean _faint_window_shows_review (FaintWindow *self);
/* Of what is shown. Borrowed, or NULL. */
FaintLineList *_faint_window_shown_lines (FaintWindow *self);
const FaintLine *_faint_window_find_line (FaintWindow *self, guint id);
void _faint_window_select_review (FaintWindow *self);
/* "3 of 40 lines". Free with g_free. */
char *_faint_window_review_count (FaintWindow *self);
/* How a review stands, "Reviewed: 12 agree, 3 differ"; NULL where none is shown. Free with g_free.
 */
char *_faint_window_review_state (FaintWindow *self);
void _faint_window_drop_review (FaintWindow *self);

/* window.c */
void _faint_window_update_count (FaintWindow *self);

/* window-menus.c */
void _faint_window_build_menu (FaintWindow *self);
/* Commands on the selected lines, for menus and buttons. */
GMenuModel *_faint_window_line_menu (void);
void _faint_window_update_history_menu (FaintWindow *self);

/* window-files.c */
void _faint_window_choose_open (FaintWindow *self);
void _faint_window_save (FaintWindow *self);
void _faint_window_save_as (FaintWindow *self);
void _faint_window_choose_lines (FaintWindow *self);
void _faint_window_choose_export (FaintWindow *self, FaintExport what);
/* Writes the lines in the format that the ending of @path says; before records it asks what they
 * state beside the lines. */
void _faint_window_export_list (FaintWindow *self, const char *path);
void _faint_window_export (FaintWindow *self, FaintExport what, const char *path);
void _faint_window_choose_figure (FaintWindow *self);
gboolean _faint_window_may_close (FaintWindow *self);

/* window-open.c */
/* Puts the file among the recent ones, its folder into the settings. */
void _faint_window_remember (FaintWindow *self, const char *path);
void _faint_window_fill_recent (FaintWindow *self);
/* Asks for the conditions of the first spectrum that lacks some, else of the shown one. */
void _faint_window_state_conditions (FaintWindow *self);

/* window-figure.c */
void _faint_window_update_figure (FaintWindow *self, guint change);
gboolean _faint_window_write_figure (FaintWindow *self, const char *path, GError **error);

/* As the plots show it, for paper. */
void _faint_window_draw_figure (FaintWindow *self, cairo_t *cr, FaintRect place);
GBytes *_faint_window_render_figure (FaintWindow *self, FaintSurfaceFormat format, GError **error);

/* window-print.c */
typedef enum
{
  FAINT_PRINTED_REPORT,
  FAINT_PRINTED_FIGURE,
} FaintPrinted;
/* @path: of the file that the action of exporting writes, or NULL. */
void _faint_window_print (FaintWindow *self, FaintPrinted what, GtkPrintOperationAction action,
                          const char *path);
void _faint_window_print_report (FaintWindow *self);
void _faint_window_print_figure (FaintWindow *self);
/* PNG and SVG onto the clipboard. */
void _faint_window_copy_figure (FaintWindow *self);
void _faint_window_show_record (FaintWindow *self);
/* Constants of the assignment for a report; free with g_ptr_array_unref. */
GPtrArray *_faint_window_bands (FaintWindow *self);

/* window-status.c */
/* Says in the status bar how the fit stands; @change as of the document's "changed". */
void _faint_window_update_status (FaintWindow *self, guint change);
/* What was done just now; it stays until something else is changed. */
void _faint_window_tell (FaintWindow *self, const char *text);
/* That a click or a drag in the plot has another meaning than usual, and how to leave that. */
void _faint_window_tell_mode (FaintWindow *self);
void _faint_window_tell_saved (FaintWindow *self);
void _faint_window_tell_exported (FaintWindow *self, FaintExport what, const char *path);
void _faint_window_tell_figure (FaintWindow *self, const char *path);
void _faint_window_tell_assigned (FaintWindow *self);
/* The words of @error in the window, or the fields that are missing. */
/* Says so in words where the last fit describes the data poorly. */
void _faint_window_say_poor_fit (FaintWindow *self);
void _faint_window_say_failure (FaintWindow *self, const char *heading, const GError *error);

/* window-job.c */
void _faint_window_on_job (FaintDocument *document, GParamSpec *pspec, FaintWindow *self);

/* window-sizes.c */
void _faint_window_fold_table (FaintWindow *self, gboolean shown);
void _faint_window_keep_sizes (FaintWindow *self);
void _faint_window_on_max_position (GtkPaned *paned, GParamSpec *pspec, FaintWindow *self);
