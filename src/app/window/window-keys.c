/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Keys of the application, and the window that shows them, from the one table of actions.
 */
#include "app/window/window-private.h"

#include <glib/gi18n.h>

#define END "</object></child>" /* of a section, a group */

/* clang-format off */
/* Keys that have no action of this table. */
static const struct { const char *keys, *action, *words; } further[] = {
  { "<Control>1", "win.stage::data", N_ ("Stage Data") },
  { "<Control>2", "win.stage::cavity", N_ ("Stage Cavity") },
  { "<Control>3", "win.stage::lines", N_ ("Stage Lines") },
  { "<Control>4", "win.stage::strengths", N_ ("Stage Strengths") },
  { "<Control>5", "win.stage::assignment", N_ ("Stage Assignment") },
  { "<Control>6", "win.stage::review", N_ ("Stage Review") },
  { "<Control>l", "win.add-mode", N_ ("Add lines by click") },
  { "<Control>r", "win.mark-mode", N_ ("Mark ranges by a drag") },
  { "F9", "win.table-shown", N_ ("Show or fold the table") },
  { "F10", NULL, N_ ("Menu") },
  { "<Control>q", "app.quit", N_ ("Quit") },
};

static const struct { const char *keys, *words; } plot_keys[] = {
  { "Left Right", N_ ("Pan") },
  { "plus minus", N_ ("Zoom") },
  { "Home End", N_ ("Either end of the span") },
  { "Page_Up Page_Down", N_ ("A view further") },
  { "0", N_ ("The whole span") },
  { "<Alt>Left <Alt>Right", N_ ("The view before, the view after") },
  { "f", N_ ("Fit the view to the line") },
  { "<Shift>Left <Shift>Right", N_ ("Move the cursor") },
  { "Return", N_ ("Select the line at the cursor") },
  { "<Control>Left <Control>Right", N_ ("Move the line") },
  { "<Control>Up <Control>Down", N_ ("Widen or narrow the line") },
  { "m", N_ ("Begin a range at the cursor, then end it") },
  { "x <Shift>x", N_ ("Exclude teeth, take them back") },
  { "Insert", N_ ("Add a line at the cursor") },
  { "<Shift>F10", N_ ("Menu of the plot or the table") },
  { "<Control>c", N_ ("Copy rows of the table") },
};

/* Of the plot of Loomis and Wood. */
static const struct { const char *keys, *words; } loomis_wood_keys[] = {
  { "Left Right", N_ ("Next line of the row") },
  { "Up Down", N_ ("Nearest line of the next row") },
  { "<Shift>Up <Shift>Down", N_ ("Go along a trace") },
  { "Return", N_ ("Assign trace or line") },
  { "Delete", N_ ("Remove the labels") },
  { "Escape", N_ ("Give the trace up") },
  { "plus minus", N_ ("Zoom") },
  { "<Control>Left <Control>Right", N_ ("Pan along the rows") },
  { "<Control>Up <Control>Down", N_ ("Pan over the rows") },
  { "Page_Up Page_Down", N_ ("A view further") },
  { "Home", N_ ("Everything") },
};
/* clang-format on */

void
_faint_window_set_accels (GtkApplication *application)
{
  guint n;
  const FaintWindowAction *actions = _faint_window_actions (&n);

  for (guint i = 0; i < n; i++)
    {
      const char *keys[] = { actions[i].keys, NULL };
      g_autofree char *action = g_strdup_printf ("win.%s", actions[i].name);

      if (actions[i].keys && !actions[i].local)
        gtk_application_set_accels_for_action (application, action, keys);
    }
  for (guint i = 0; i < G_N_ELEMENTS (further); i++)
    {
      const char *keys[] = { further[i].keys, NULL };

      if (further[i].action)
        gtk_application_set_accels_for_action (application, further[i].action, keys);
    }
}

static void
append_shortcut (GString *ui, const char *keys, const char *words)
{
  g_autofree char *escaped
      = g_markup_printf_escaped ("<child><object class='GtkShortcutsShortcut'>"
                                 "<property name='accelerator'>%s</property>"
                                 "<property name='title'>%s</property></object></child>",
                                 keys, words);

  g_string_append (ui, escaped);
}

static void
begin_group (GString *ui, const char *title)
{
  g_autofree char *escaped = g_markup_printf_escaped ("<child><object class='GtkShortcutsGroup'>"
                                                      "<property name='title'>%s</property>",
                                                      title);

  g_string_append (ui, escaped);
}

/* A section fits two columns: with pages GTK 4.8 warns about sizes of its own labels. */
static void
begin_section (GString *ui, const char *name, const char *title)
{
  g_autofree char *escaped = g_markup_printf_escaped ("<child><object class='GtkShortcutsSection'>"
                                                      "<property name='section-name'>%s</property>"
                                                      "<property name='title'>%s</property>"
                                                      "<property name='max-height'>18</property>",
                                                      name, title);

  g_string_append (ui, escaped);
}

/* Groups of the table of actions that the first section holds; the others begin a second. */
#define FIRST_GROUPS 2

static void
append_actions (GString *ui)
{
  guint n, group = 0;
  const FaintWindowAction *actions = _faint_window_actions (&n);

  begin_section (ui, "window", _ ("Window"));
  for (guint i = 0; i < n; i++)
    if (actions[i].name == NULL)
      {
        g_string_append (ui, group > 0 ? END : "");
        if (group == FIRST_GROUPS)
          {
            g_string_append (ui, END);
            begin_section (ui, "lines", _ ("Lines and stages"));
          }
        begin_group (ui, _ (actions[i].words));
        group++;
      }
    else if (actions[i].keys)
      append_shortcut (ui, actions[i].keys, _ (actions[i].words));
  g_string_append (ui, END);
  begin_group (ui, _ ("Stages and panels"));
  for (guint i = 0; i < G_N_ELEMENTS (further); i++)
    append_shortcut (ui, further[i].keys, _ (further[i].words));
  g_string_append (ui, END END);
}

char *
_faint_window_shortcuts_ui (void)
{
  GString *ui = g_string_new ("<interface><object class='GtkShortcutsWindow' id='shortcuts'>"
                              "<property name='modal'>1</property>");

  append_actions (ui);
  begin_section (ui, "plots", _ ("Plots and table"));
  begin_group (ui, _ ("In the plots and the table"));
  for (guint i = 0; i < G_N_ELEMENTS (plot_keys); i++)
    append_shortcut (ui, plot_keys[i].keys, _ (plot_keys[i].words));
  g_string_append (ui, END);
  begin_group (ui, _ ("In the Loomis–Wood plot"));
  for (guint i = 0; i < G_N_ELEMENTS (loomis_wood_keys); i++)
    append_shortcut (ui, loomis_wood_keys[i].keys, _ (loomis_wood_keys[i].words));
  g_string_append (ui, END END "</object></interface>");
  return g_string_free (ui, FALSE);
}
