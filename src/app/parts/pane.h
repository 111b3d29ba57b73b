/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The look of a stage's pane: sections with a heading, rows of a name and a thing, and read-outs.
 */
#pragma once

#include <gtk/gtk.h>

G_BEGIN_DECLS

/* Makes @box a vertical one with the margins of a pane; and a new box of that kind. */
void faint_pane_prepare (GtkBox *box);
GtkWidget *faint_pane_box_new (void);
/* What was typed into @entry is taken: Ctrl+Z there then undoes the step, not the typing. */
void faint_pane_forget_typing (GtkWidget *entry);
/* Takes all children out of @box, a GtkBox. */
void faint_pane_empty (GtkWidget *box);
/* Escape in @entry takes back what was typed and not taken, then calls @then (may be NULL) with
 * @data; with nothing to take back the key goes on to the window. */
void faint_pane_escape_takes_back (GtkWidget *entry, void (*then) (gpointer data), gpointer data);
/* A section is a grid under a heading, added to @box. Returns the grid. */
GtkWidget *faint_pane_section (GtkWidget *box, const char *heading);
/* A row: @name at the left, @widget at the right. @name labels @widget. Returns the label. */
GtkWidget *faint_pane_row (GtkWidget *grid, const char *name, GtkWidget *widget);
/* A row over the whole width. */
void faint_pane_wide (GtkWidget *grid, GtkWidget *widget);
/* A row with a read-out, a label whose text can be selected. Returns it. */
GtkWidget *faint_pane_value (GtkWidget *grid, const char *name);
/* Another name for the row of a read-out. */
void faint_pane_set_name (GtkWidget *value, const char *name);
/* Shows or hides a read-out with its name. */
void faint_pane_show_row (GtkWidget *value, gboolean shown);
/* A paragraph of small text over the whole width. Returns the label. */
GtkWidget *faint_pane_note (GtkWidget *grid, const char *text);
/* What is wrong with the text of @entry, in @label below it and told to a reader of the screen;
 * @message NULL: nothing. */
void faint_pane_show_error (GtkWidget *label, GtkWidget *entry, const char *message);
/* @expander shows and hides @widget, which stands below it: folded away as its child, GTK 4.8 would
 * lead the focus into it and complain. */
void faint_pane_unfolds (GtkWidget *expander, GtkWidget *widget);
/* A button with words and the action it starts, named for a screen reader without the mnemonic. */
GtkWidget *faint_pane_button (const char *mnemonic, const char *action);

/* Sets the text of a read-out; NULL or "" shows a dash. */
void faint_pane_set_value (GtkWidget *label, const char *text);
/* @value by a printf format in the C locale, then the unit; NAN shows a dash. */
void faint_pane_set_number (GtkWidget *label, const char *format, double value, const char *unit);
/* @value and its standard uncertainty (NAN or 0: none) in short notation, then the unit. */
void faint_pane_set_measured (GtkWidget *label, double value, double u, const char *unit);

G_END_DECLS
