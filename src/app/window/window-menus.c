/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The menu, and the words of undo and redo.
 */
#include "app/window/window-private.h"

#include <glib/gi18n.h>

#include "app/lines/line-words.h"

/* The label of a step goes into the menu and the tooltip: "Undo Move Line 7790.220". */
static char *
step_label (const char *format, const char *plain, const char *label)
{
  return label ? g_strdup_printf (format, label) : g_strdup (plain);
}

static void
append_step (FaintWindow *self, const char *label, const char *action, const char *keys)
{
  g_autoptr (GMenuItem) item = g_menu_item_new (label, action);

  g_menu_item_set_attribute (item, "accel", "s", keys);
  g_menu_append_item (self->history_menu, item);
}

void
_faint_window_update_history_menu (FaintWindow *self)
{
  const char *undo_label = faint_document_get_undo_label (self->document);
  const char *redo_label = faint_document_get_redo_label (self->document);
  /* Translators: %s is a step, such as "Move Line 7790.220" */
  g_autofree char *undo = step_label (_ ("Undo %s"), _ ("Undo"), undo_label);
  g_autofree char *redo = step_label (_ ("Redo %s"), _ ("Redo"), redo_label);

  g_menu_remove_all (self->history_menu);
  append_step (self, undo, "win.undo", "<Control>z");
  append_step (self, redo, "win.redo", "<Control><Shift>z");
  gtk_widget_set_tooltip_text (self->undo_button, undo);
  gtk_widget_set_tooltip_text (self->redo_button, redo);
}

static GMenu *
export_menu (void)
{
  GMenu *menu = g_menu_new ();

  g_menu_append (menu, _ ("_Line List…"), "win.export-lines");
  g_menu_append (menu, _ ("_Comb Table…"), "win.export-comb-table");
  g_menu_append (menu, _ ("_Report…"), "win.export-report");
  g_menu_append (menu, _ ("_Short Report…"), "win.export-report-short");
  g_menu_append (menu, _ ("_Figure…"), "win.export-figure");
  return menu;
}

static GMenu *
paper_menu (void)
{
  GMenu *menu = g_menu_new ();

  g_menu_append (menu, _ ("Print _Report…"), "win.print-report");
  g_menu_append (menu, _ ("Print _Figure…"), "win.print-figure");
  g_menu_append (menu, _ ("_Copy Figure"), "win.copy-figure");
  return menu;
}

static GMenu *
work_menu (void)
{
  GMenu *menu = g_menu_new ();

  g_menu_append (menu, _ ("F_ind and Fit"), "win.find-and-fit");
  g_menu_append (menu, _ ("_Fit These Lines"), "win.fit");
  g_menu_append (menu, _ ("Assi_gn Lines"), "win.assign");
  g_menu_append (menu, _ ("_Correlation of the Parameters"), "win.correlation");
  g_menu_append (menu, _ ("_Quality by Window"), "win.quality");
  g_menu_append (menu, _ ("Record of C_hanges"), "win.record");
  g_menu_append (menu, _ ("Show the _Table"), "win.table-shown");
  return menu;
}

/* What a fit may change of the selected lines. */
static void
append_states (GMenu *menu)
{
  static const struct
  {
    const char *label, *action;
  } ways[] = { { N_ ("Fi_x"), "win.fix" }, { N_ ("Fr_ee"), "win.release" } };

  for (guint i = 0; i < G_N_ELEMENTS (ways); i++)
    {
      g_autoptr (GMenu) places = g_menu_new ();

      for (FaintPlace place = 0; place < FAINT_PLACE_SPEED_WIDTH; place++)
        {
          g_autoptr (GMenuItem) item = g_menu_item_new (faint_place_in_edits (place), NULL);

          g_menu_item_set_action_and_target (item, ways[i].action, "s", faint_place_name (place));
          g_menu_append_item (places, item);
        }
      g_menu_append_submenu (menu, _ (ways[i].label), G_MENU_MODEL (places));
    }
}

GMenuModel *
_faint_window_line_menu (void)
{
  GMenu *menu = g_menu_new ();
  g_autoptr (GMenu) ties = g_menu_new (), line = g_menu_new (), profiles = g_menu_new (),
                    states = g_menu_new ();

  for (FaintProfile profile = 0; profile < FAINT_PROFILE_N; profile++)
    {
      g_autoptr (GMenuItem) item = g_menu_item_new (faint_profile_in_words (profile), NULL);

      g_menu_item_set_action_and_target (item, "win.profile", "s", faint_profile_name (profile));
      g_menu_append_item (profiles, item);
    }
  append_states (states);
  g_menu_append (ties, _ ("Tie Lorentz _Widths"), "win.tie-widths");
  g_menu_append (ties, _ ("Tie _Strengths at Present Ratio"), "win.tie-strengths");
  g_menu_append (ties, _ ("Tie _Positions at Present Distance"), "win.tie-positions");
  g_menu_append (ties, _ ("_Release Ties"), "win.release-ties");
  g_menu_append_submenu (line, _ ("Pro_file"), G_MENU_MODEL (profiles));
  g_menu_append (line, _ ("Spl_it Line"), "win.split-line");
  g_menu_append (line, _ ("Mer_ge Lines"), "win.merge-lines");
  g_menu_append (line, _ ("Re_move"), "win.remove-lines");
  g_menu_append_section (menu, NULL, G_MENU_MODEL (states));
  g_menu_append_section (menu, NULL, G_MENU_MODEL (ties));
  g_menu_append_section (menu, NULL, G_MENU_MODEL (line));
  return G_MENU_MODEL (menu);
}

static GMenu *
help_menu (void)
{
  GMenu *menu = g_menu_new ();

  g_menu_append (menu, _ ("_New Window"), "app.new-window");
  g_menu_append (menu, _ ("_Keyboard Shortcuts"), "win.shortcuts");
  g_menu_append (menu, _ ("_Manual"), "win.help");
  g_menu_append (menu, _ ("A_bout Faintline"), "app.about");
  return menu;
}

void
_faint_window_build_menu (FaintWindow *self)
{
  g_autoptr (GMenu) menu = g_menu_new (), files = g_menu_new (), exports = export_menu (),
                    work = work_menu (), help = help_menu (), paper = paper_menu ();
  g_autoptr (GMenuModel) lines = _faint_window_line_menu ();

  self->history_menu = g_menu_new ();
  g_menu_append (files, _ ("Save _As…"), "win.save-as");
  g_menu_append (files, _ ("_Read Line List…"), "win.read-lines");
  g_menu_append_submenu (files, _ ("_Export"), G_MENU_MODEL (exports));
  g_menu_append_submenu (files, _ ("_Print and Copy"), G_MENU_MODEL (paper));
  g_menu_append_section (menu, NULL, G_MENU_MODEL (self->history_menu));
  g_menu_append_section (menu, NULL, G_MENU_MODEL (files));
  g_menu_append_submenu (work, _ ("_Selected Lines"), lines);
  g_menu_append_section (menu, NULL, G_MENU_MODEL (work));
  g_menu_append_section (menu, NULL, G_MENU_MODEL (help));
  gtk_menu_button_set_menu_model (GTK_MENU_BUTTON (self->menu_button), G_MENU_MODEL (menu));
}
