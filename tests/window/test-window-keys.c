/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The window by keyboard: every key does one thing and is shown in the window of shortcuts, what is
 * shown there exists, Tab comes to every control and back, F6 goes round the areas.
 */
#include <gsl/gsl_errno.h>
#include <string.h>

#include "app/assignment/assignment-plots.h"
#include "faint-test.h"
#include "window-test.h"

/* All faults of a test are told, not the first alone. */
#define complain(...) (g_test_message (__VA_ARGS__), g_test_fail ())

/* As GTK writes an accelerator, "plus" and "<Control>plus" alike. Free with g_free. */
static char *
canonical (const char *accelerator)
{
  guint key;
  GdkModifierType modifiers;

  g_assert_true (gtk_accelerator_parse (accelerator, &key, &modifiers));
  return gtk_accelerator_name (key, modifiers);
}

/* Where the keys of plots and table begin, which may have those of another widget. */
#define WIDGETS "<property name='section-name'>plots"

/* Accelerators of the window of shortcuts and how often each stands in it; @of_window: without
 * those of its widgets. */
static GHashTable *
listed_keys (gboolean of_window)
{
  GHashTable *listed = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, NULL);
  g_autofree char *ui = _faint_window_shortcuts_ui ();
  g_auto (GStrv) parts = NULL;

  g_assert_nonnull (strstr (ui, WIDGETS));
  if (of_window)
    *strstr (ui, WIDGETS) = '\0';
  parts = g_strsplit (ui, "<property name='accelerator'>", -1);
  for (guint i = 1; parts[i]; i++)
    {
      g_auto (GStrv) keys = NULL;
      g_autofree char *plain = NULL;
      g_auto (GStrv) pieces = NULL;

      *strchr (parts[i], '<') = '\0';
      pieces = g_strsplit (parts[i], "&lt;", -1);
      plain = g_strjoinv ("<", pieces);
      g_clear_pointer (&pieces, g_strfreev);
      pieces = g_strsplit (plain, "&gt;", -1);
      g_free (plain);
      plain = g_strjoinv (">", pieces);
      keys = g_strsplit (plain, " ", -1);
      for (guint k = 0; keys[k]; k++)
        {
          char *name = canonical (keys[k]);
          guint n = GPOINTER_TO_UINT (g_hash_table_lookup (listed, name));

          g_hash_table_replace (listed, name, GUINT_TO_POINTER (n + 1));
        }
    }
  return listed;
}

static gboolean
action_exists (FaintWindow *window, const char *detailed)
{
  g_autoptr (GVariant) target = NULL;
  g_autofree char *name = NULL;
  GActionGroup *group = G_ACTION_GROUP (window);
  const char *bare;

  g_assert_true (g_action_parse_detailed_name (detailed, &name, &target, NULL));
  bare = strchr (name, '.') + 1;
  if (g_str_has_prefix (name, "app."))
    group = G_ACTION_GROUP (gtk_window_get_application (GTK_WINDOW (window)));
  return g_action_group_has_action (group, bare);
}

/* Every accelerator belongs to one action, which exists, and is shown. */
static void
test_accelerators (void)
{
  FaintWindow *window = window_test_new ();
  GtkApplication *application = gtk_window_get_application (GTK_WINDOW (window));
  g_autoptr (GHashTable) listed = listed_keys (FALSE);
  g_autoptr (GHashTable) owner = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, g_free);
  g_auto (GStrv) actions = gtk_application_list_action_descriptions (application);

  g_assert_cmpuint (g_strv_length (actions), >, 30);
  for (guint i = 0; actions[i]; i++)
    {
      g_auto (GStrv) keys = gtk_application_get_accels_for_action (application, actions[i]);

      if (!action_exists (window, actions[i]))
        complain ("%s has a key and does not exist", actions[i]);
      for (guint k = 0; keys[k]; k++)
        {
          g_autofree char *name = canonical (keys[k]);
          const char *other = g_hash_table_lookup (owner, name);

          if (other)
            complain ("%s belongs to %s and %s", name, other, actions[i]);
          if (!g_hash_table_contains (listed, name))
            complain ("%s of %s is not shown", name, actions[i]);
          g_hash_table_insert (owner, g_strdup (name), g_strdup (actions[i]));
        }
    }
  window_test_close (window);
}

/* Its keys stand in two tables, of actions and of the further ones, and some are no accelerators of
 * the application: no key is in both, or twice in one. */
static void
test_each_key_once (void)
{
  g_autoptr (GHashTable) listed = listed_keys (TRUE);
  GHashTableIter iter;
  gpointer key, n;

  g_assert_cmpuint (g_hash_table_size (listed), >, 40);
  g_hash_table_iter_init (&iter, listed);
  while (g_hash_table_iter_next (&iter, &key, &n))
    if (GPOINTER_TO_UINT (n) != 1)
      complain ("%s is shown %u times", (const char *)key, GPOINTER_TO_UINT (n));
}

/* "<Control>c" of a shortcut that a class of widgets has; NULL for a trigger that is no key. */
static char *
key_of (GtkShortcut *shortcut)
{
  GtkShortcutTrigger *trigger = gtk_shortcut_get_trigger (shortcut);

  if (!GTK_IS_KEYVAL_TRIGGER (trigger))
    return NULL;
  return gtk_accelerator_name (gtk_keyval_trigger_get_keyval (GTK_KEYVAL_TRIGGER (trigger)),
                               gtk_keyval_trigger_get_modifiers (GTK_KEYVAL_TRIGGER (trigger)));
}

/* What a shortcut does, as text. */
static char *
deed_of (GtkShortcut *shortcut)
{
  g_autofree char *action = gtk_shortcut_action_to_string (gtk_shortcut_get_action (shortcut));
  GVariant *arguments = gtk_shortcut_get_arguments (shortcut);
  g_autofree char *text = arguments ? g_variant_print (arguments, FALSE) : g_strdup ("");

  return g_strdup_printf ("%s %s", action, text);
}

typedef void (*WithShortcut) (GtkShortcut *shortcut, gpointer data);

static void
for_each_shortcut (GtkWidget *widget, WithShortcut act, gpointer data)
{
  g_autoptr (GListModel) controllers = gtk_widget_observe_controllers (widget);

  for (guint i = 0; i < g_list_model_get_n_items (controllers); i++)
    {
      g_autoptr (GtkEventController) controller = g_list_model_get_item (controllers, i);

      if (!GTK_IS_SHORTCUT_CONTROLLER (controller))
        continue;
      for (guint k = 0; k < g_list_model_get_n_items (G_LIST_MODEL (controller)); k++)
        {
          g_autoptr (GtkShortcut) shortcut = g_list_model_get_item (G_LIST_MODEL (controller), k);

          act (shortcut, data);
        }
    }
}

typedef struct
{
  GHashTable *listed;
  GHashTable *deeds; /* what can be done: the keys for it, joined by blanks */
  GHashTable *keys;  /* that some widget has */
} Found;

static void
collect (GtkShortcut *shortcut, gpointer data)
{
  Found *found = data;
  g_autofree char *key = key_of (shortcut), *deed = deed_of (shortcut);
  const char *before = g_hash_table_lookup (found->deeds, deed);

  /* a window also has keys of GTK's own */
  if (key == NULL || strstr (deed, "activate-focus") || strstr (deed, "activate-default")
      || strstr (deed, "move-focus") || strstr (deed, "enable-debugging"))
    return;
  g_hash_table_add (found->keys, g_strdup (key));
  g_hash_table_insert (found->deeds, g_strdup (deed),
                       before ? g_strdup_printf ("%s %s", before, key) : g_strdup (key));
}

static void
assert_one_is_listed (gpointer deed, gpointer keys, gpointer data)
{
  g_auto (GStrv) names = g_strsplit (keys, " ", -1);

  for (guint i = 0; names[i]; i++)
    if (g_hash_table_contains (data, names[i]))
      return;
  complain ("%s (%s) is not shown", (const char *)keys, (const char *)deed);
}

/* Keys of plots, table and overview: for each thing that they do one is shown, and no other is. */
static void
test_keys_of_widgets (void)
{
  FaintWindow *window = window_test_fitted ();
  GtkWidget *widgets[]
      = { window->plot, window->table, window->overview, NULL, GTK_WIDGET (window) };
  Found found
      = { listed_keys (FALSE), g_hash_table_new_full (g_str_hash, g_str_equal, g_free, g_free),
          g_hash_table_new_full (g_str_hash, g_str_equal, g_free, NULL) };
  GtkApplication *application = gtk_window_get_application (GTK_WINDOW (window));
  GHashTableIter iter;
  gpointer key;

  widgets[3] = GTK_WIDGET (
      faint_assignment_plots_get_view (FAINT_ASSIGNMENT_PLOTS (window->assignment_plots)));
  for (guint i = 0; i < G_N_ELEMENTS (widgets); i++)
    for_each_shortcut (widgets[i], collect, &found);
  g_assert_cmpuint (g_hash_table_size (found.deeds), >, 30);
  g_hash_table_foreach (found.deeds, assert_one_is_listed, found.listed);

  g_hash_table_iter_init (&iter, found.listed);
  while (g_hash_table_iter_next (&iter, &key, NULL))
    {
      g_auto (GStrv) actions = gtk_application_get_actions_for_accel (application, key);

      /* F10 is GTK's own, of a button that is the primary menu */
      if (actions[0] == NULL && !g_hash_table_contains (found.keys, key) && strcmp (key, "F10"))
        complain ("%s is shown and nothing has it", (const char *)key);
    }
  g_hash_table_unref (found.listed);
  g_hash_table_unref (found.deeds);
  g_hash_table_unref (found.keys);
  window_test_close (window);
}

static gboolean
has_focus_in (FaintWindow *window, GtkWidget *area)
{
  GtkWidget *focus = gtk_window_get_focus (GTK_WINDOW (window));

  return focus && (focus == area || gtk_widget_is_ancestor (focus, area));
}

/* F6 goes round and comes back to the very control that had the focus. */
static void
test_areas (void)
{
  FaintWindow *window = window_test_fitted ();
  GtkWidget *pane = gtk_stack_get_visible_child (GTK_STACK (window->panes));
  GtkWidget *bar = gtk_window_get_titlebar (GTK_WINDOW (window));
  GtkWidget *before;

  window_test_linger (100);
  gtk_widget_grab_focus (window->plot);
  window_test_act (window, "next-area");
  g_assert_true (has_focus_in (window, pane));
  gtk_widget_child_focus (GTK_WIDGET (window), GTK_DIR_TAB_FORWARD);
  g_assert_true (has_focus_in (window, pane));
  before = gtk_window_get_focus (GTK_WINDOW (window));
  window_test_act (window, "next-area");
  g_assert_true (has_focus_in (window, window->table));
  window_test_act (window, "next-area");
  g_assert_true (has_focus_in (window, bar));
  window_test_act (window, "next-area");
  g_assert_true (gtk_window_get_focus (GTK_WINDOW (window)) == window->plot);
  window_test_act (window, "next-area");
  g_assert_true (gtk_window_get_focus (GTK_WINDOW (window)) == before);
  window_test_act (window, "previous-area");
  g_assert_true (gtk_window_get_focus (GTK_WINDOW (window)) == window->plot);
  window_test_act (window, "previous-area");
  g_assert_true (has_focus_in (window, bar));
  window_test_act (window, "previous-area");
  g_assert_true (has_focus_in (window, window->table));
  /* without a table its row of controls is the area */
  _faint_window_fold_table (window, FALSE);
  window_test_act (window, "next-area");
  window_test_act (window, "previous-area");
  g_assert_true (has_focus_in (window, window->table_box));
  _faint_window_fold_table (window, TRUE);
  window_test_close (window);
}

/* What a person acts on and Tab has to find. Where one of a group takes the focus the arrow keys go
 * on, so a row of a list stands for all. */
static void
collect_controls (GtkWidget *widget, GHashTable *controls)
{
  if (!gtk_widget_get_mapped (widget) || !gtk_widget_is_sensitive (widget)
      || GTK_IS_POPOVER (widget) || GTK_IS_WINDOW_CONTROLS (widget))
    return;
  /* the arrow keys do what the buttons of a spin button do */
  if (gtk_widget_get_focusable (widget) && !GTK_IS_SPIN_BUTTON (gtk_widget_get_parent (widget))
      && (GTK_IS_BUTTON (widget) || GTK_IS_TEXT (widget) || GTK_IS_CHECK_BUTTON (widget)
          || GTK_IS_SCALE (widget) || FAINT_IS_PLOT (widget) || FAINT_IS_OVERVIEW (widget)))
    g_hash_table_add (controls, widget);
  for (GtkWidget *child = gtk_widget_get_first_child (widget); child;
       child = gtk_widget_get_next_sibling (child))
    collect_controls (child, controls);
}

static char *
name_of (GtkWidget *widget)
{
  for (; widget; widget = gtk_widget_get_parent (widget))
    {
      if (GTK_IS_BUTTON (widget) && gtk_button_get_label (GTK_BUTTON (widget)))
        return g_strdup (gtk_button_get_label (GTK_BUTTON (widget)));
      if (gtk_widget_get_tooltip_text (widget))
        return g_strdup (gtk_widget_get_tooltip_text (widget));
    }
  return g_strdup ("?");
}

/* A whole round of Tab, or of Shift+Tab, from the plot: it ends, and nothing is left out. */
static void
walk (FaintWindow *window, GtkDirectionType direction, const char *stage)
{
  g_autoptr (GHashTable) controls = g_hash_table_new (NULL, NULL);
  g_autoptr (GHashTable) seen = g_hash_table_new (NULL, NULL);
  GtkWidget *focus;
  GHashTableIter iter;
  gpointer control;

  gtk_widget_grab_focus (window->plot);
  focus = gtk_window_get_focus (GTK_WINDOW (window));
  while (focus && g_hash_table_add (seen, focus))
    {
      g_signal_emit_by_name (window, "move-focus", direction);
      focus = gtk_window_get_focus (GTK_WINDOW (window));
    }
  if (focus != window->plot)
    {
      g_autofree char *name = name_of (focus);

      complain ("%s: Tab is caught at %s (%s)", stage, G_OBJECT_TYPE_NAME (focus), name);
    }
  collect_controls (GTK_WIDGET (window), controls);
  g_assert_cmpuint (g_hash_table_size (controls), >, 15);
  g_hash_table_iter_init (&iter, controls);
  while (g_hash_table_iter_next (&iter, &control, NULL))
    if (!g_hash_table_contains (seen, control))
      {
        g_autofree char *name = name_of (control);

        complain ("%s: Tab does not come to %s (%s)", stage, G_OBJECT_TYPE_NAME (control), name);
      }
}

static void
test_tab (void)
{
  static const char *const names[]
      = { "data", "cavity", "lines", "strengths", "assignment", "review" };
  FaintWindow *window = window_test_fitted ();

  faint_session_set_selected (window->session, window_test_line (window, 0)->id);
  for (guint i = 0; i < G_N_ELEMENTS (names); i++)
    {
      g_action_group_change_action_state (G_ACTION_GROUP (window), "stage",
                                          g_variant_new_string (names[i]));
      window_test_linger (200);
      walk (window, GTK_DIR_TAB_FORWARD, names[i]);
      walk (window, GTK_DIR_TAB_BACKWARD, names[i]);
    }
  window_test_close (window);
}

int
main (int argc, char **argv)
{
  int status;

  gsl_set_error_handler_off ();
  gtk_test_init (&argc, &argv, NULL);
  g_test_set_nonfatal_assertions ();
  window_test_begin ();

  g_test_add_func ("/window/keys/accelerators", test_accelerators);
  g_test_add_func ("/window/keys/each-once", test_each_key_once);
  g_test_add_func ("/window/keys/widgets", test_keys_of_widgets);
  g_test_add_func ("/window/keys/areas", test_areas);
  g_test_add_func ("/window/keys/tab", test_tab);
  status = g_test_run ();
  window_test_end ();
  return status;
}
