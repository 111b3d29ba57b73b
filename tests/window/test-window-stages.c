/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What the stages say of a measurement, recent files and folders, and how near to a line a click
 * is meant for it.
 */
#include <glib/gstdio.h>
#include <gsl/gsl_errno.h>
#include <math.h>
#include <string.h>

#include "app/plot/hit.h"
#include "app/plot/plot-private.h"
#include "app/data/setup-field.h"
#include "faint-test.h"
#include "faint/simulate/scene.h"
#include "hand.h"
#include "window-test.h"

static gboolean
has_text (GtkWidget *widget, gconstpointer text)
{
  return GTK_IS_LABEL (widget) && g_str_equal (gtk_label_get_text (GTK_LABEL (widget)), text)
         && gtk_widget_get_mapped (widget);
}

static GtkWidget *
label_of (FaintWindow *window, const char *text)
{
  return window_test_find (gtk_stack_get_visible_child (GTK_STACK (window->panes)), has_text, text);
}

static gboolean
is_name (GtkWidget *widget, gconstpointer text)
{
  return has_text (widget, text) && GTK_IS_GRID (gtk_widget_get_parent (widget));
}

/* The name of a row; a choice may have the same words. */
static GtkWidget *
row_of (FaintWindow *window, const char *name)
{
  return window_test_find (gtk_stack_get_visible_child (GTK_STACK (window->panes)), is_name, name);
}

/* What stands to the right of the row's name. */
static const char *
value_of (FaintWindow *window, const char *name)
{
  GtkWidget *label = row_of (window, name);
  GtkWidget *grid, *value;
  int row;

  g_assert_nonnull (label);
  grid = gtk_widget_get_parent (label);
  gtk_grid_query_child (GTK_GRID (grid), label, NULL, &row, NULL, NULL);
  value = gtk_grid_get_child_at (GTK_GRID (grid), 1, row);
  g_assert_true (GTK_IS_LABEL (value));
  return gtk_label_get_text (GTK_LABEL (value));
}

static void
show_stage (FaintWindow *window, FaintStage stage)
{
  faint_session_set_stage (window->session, stage);
  window_test_linger (200);
}

static gboolean
is_field (GtkWidget *widget, gconstpointer key)
{
  return FAINT_IS_SETUP_FIELD (widget)
         && g_str_equal (faint_setup_field_get_key (FAINT_SETUP_FIELD (widget)), key);
}

static void
enter (FaintWindow *window, const char *key, const char *text)
{
  GtkWidget *found = window_test_find (window->panes, is_field, key);

  g_assert_nonnull (found);
  g_assert_true (faint_setup_field_enter (FAINT_SETUP_FIELD (found), text));
}

/* The strength has the temperature of the measurement in its name: 22.5 degC are 295.65 K, and it
 * follows the condition. */
static void
test_strength_at (void)
{
  FaintWindow *window = window_test_fitted ();
  const FaintLine *line = window_test_line (window, 0);
  g_autofree char *number = faint_format_concise (line->strength.value, line->strength.u);
  g_autofree char *want = g_strdup_printf ("%s cm/molecule", number);

  faint_session_set_selected (window->session, line->id);
  show_stage (window, FAINT_STAGE_STRENGTHS);
  g_assert_cmpstr (value_of (window, "Strength at 295.65\u00a0K"), ==, want);
  enter (window, "temperature", "300 K");
  g_assert_nonnull (label_of (window, "Strength at 300\u00a0K"));
  g_assert_null (label_of (window, "Strength at 295.65\u00a0K"));
  enter (window, "temperature", "");
  g_assert_nonnull (label_of (window, "Strength"));
  window_test_wait (window, window_test_is_idle, "idle");
  window_test_close (window);
}

/* A single pass has no mirrors and none of their numbers; with a cavity they are back. */
static void
test_single_pass (void)
{
  FaintWindow *window = window_test_open ();
  static const char *const rows[]
      = { "Finesse",       "Reflectivity",        "Ring-down time",
          "Mode width",    "Free spectral range", "Enhancement of a round trip",
          "Effective path" };
  static const char note[]
      = "A single pass has neither finesse nor enhancement; its path is the path length.";

  show_stage (window, FAINT_STAGE_CAVITY);
  g_assert_null (label_of (window, note));
  g_assert_nonnull (label_of (window, "Mirrors"));
  for (guint i = 0; i < G_N_ELEMENTS (rows); i++)
    g_assert_cmpstr (value_of (window, rows[i]), !=, "–");
  enter (window, "cavity", "none");
  window_test_linger (200);
  g_assert_nonnull (label_of (window, note));
  g_assert_null (label_of (window, "Mirrors"));
  for (guint i = 0; i < G_N_ELEMENTS (rows); i++)
    g_assert_null (row_of (window, rows[i]));
  window_test_act (window, "undo");
  window_test_linger (200);
  g_assert_null (label_of (window, note));
  for (guint i = 0; i < G_N_ELEMENTS (rows); i++)
    g_assert_cmpstr (value_of (window, rows[i]), !=, "–");
  window_test_close (window);
}

/* One record of @sample's teeth: every fourth from @first. */
static char *
write_record (const FaintSpectrum *spectrum, guint first)
{
  g_autofree char *name = g_strdup_printf ("record-%u.comb", first);
  char *path = window_test_path (name);
  g_autoptr (GError) error = NULL;
  g_autoptr (FaintSpectrum) part
      = faint_spectrum_new ((spectrum->n - first + 3) / 4, spectrum->setup);

  part->axis = spectrum->axis;
  for (gsize i = 0; i < part->n; i++)
    {
      part->frequency[i] = spectrum->frequency[first + 4 * i];
      part->value[i] = spectrum->value[first + 4 * i];
      part->u[i] = spectrum->u[first + 4 * i];
    }
  faint_spectrum_finish (part, &error);
  g_assert_no_error (error);
  faint_comb_table_write (part, path, &error);
  g_assert_no_error (error);
  return path;
}

/* Four records whose combs were shifted by a quarter of 250 MHz are one spectrum, and stage Data
 * tells so; one of them alone has the spacing of its comb. */
static void
test_interleaved (void)
{
  g_autofree char *scene_path
      = g_build_filename (g_getenv ("FAINT_TEST_DATA"), "scenes", "ring.scene", NULL);
  g_autoptr (FaintScene) scene = faint_scene_read (scene_path, NULL);
  g_autoptr (FaintSpectrum) spectrum = faint_scene_simulate (scene, 3, NULL, NULL);
  g_auto (GStrv) paths = g_new0 (char *, 5);
  const char *one[] = { NULL, NULL };
  FaintWindow *window = window_test_new (), *single = window_test_new ();
  g_autofree char *teeth = NULL, *fewer = NULL;

  for (guint i = 0; i < 4; i++)
    paths[i] = write_record (spectrum, i);
  faint_window_open (window, (const char *const *)paths);
  window_test_wait (window, window_test_work_is_shown, "the records open as one");
  show_stage (window, FAINT_STAGE_DATA);
  teeth = g_strdup_printf ("%" G_GSIZE_FORMAT, spectrum->n);
  g_assert_cmpstr (value_of (window, "Sampling step"), ==, "62.5 MHz, 4 interleaved records");
  g_assert_cmpstr (value_of (window, "Teeth"), ==, teeth);
  window_test_close (window);

  one[0] = paths[0];
  faint_window_open (single, one);
  window_test_wait (single, window_test_work_is_shown, "a record opens");
  show_stage (single, FAINT_STAGE_DATA);
  fewer = g_strdup_printf ("%" G_GSIZE_FORMAT, (spectrum->n + 3) / 4);
  g_assert_cmpstr (value_of (single, "Sampling step"), ==, "250 MHz");
  g_assert_cmpstr (value_of (single, "Teeth"), ==, fewer);
  window_test_close (single);
}

static GMenuModel *
recent (FaintWindow *window)
{
  return gtk_menu_button_get_menu_model (GTK_MENU_BUTTON (window->recent_button));
}

static char *
recent_text (FaintWindow *window, int i, const char *attribute)
{
  char *text = NULL;

  if (i < g_menu_model_get_n_items (recent (window)))
    g_menu_model_get_item_attribute (recent (window), i, attribute, "s", &text);
  return text ? text : g_strdup ("");
}

static char *copies[2]; /* of one name, in two folders */

static gboolean
both_are_there (FaintWindow *window)
{
  guint n = 0;

  for (int i = 0; i < g_menu_model_get_n_items (recent (window)); i++)
    {
      g_autofree char *target = recent_text (window, i, G_MENU_ATTRIBUTE_TARGET);

      n += g_str_equal (target, copies[0]) || g_str_equal (target, copies[1]);
    }
  return n == 2;
}

/* Files of one name are told apart by their folder, an underscore is none of a mnemonic, and the
 * next dialog begins in the folder of the last file. One that is gone is not offered. */
static void
test_recent (void)
{
  FaintWindow *window = window_test_new ();
  FaintSettings *settings = window->settings;
  static const char *const names[] = { "may_14", "june_2" };
  g_autofree char *folder = NULL, *last = NULL, *label = NULL;
  g_autoptr (GFile) shown = NULL, want = NULL;

  for (guint i = 0; i < 2; i++)
    {
      const char *paths[] = { NULL, NULL };
      g_autofree char *bytes = NULL, *place = window_test_path (names[i]);
      gsize length;

      g_assert_true (g_file_get_contents (window_test_sample (), &bytes, &length, NULL));
      g_mkdir_with_parents (place, 0700);
      copies[i] = g_build_filename (place, "run_14.comb", NULL);
      g_file_set_contents (copies[i], bytes, (gssize)length, NULL);
      paths[0] = copies[i];
      faint_window_open (window, paths);
      window_test_wait (window, window_test_work_is_shown, "a copy opens");
      window_test_wait (window, window_test_is_idle, "idle");
    }
  window_test_wait (window, both_are_there, "both are offered");
  for (int i = 0; i < 2; i++)
    {
      g_autofree char *target = recent_text (window, i, G_MENU_ATTRIBUTE_TARGET);
      g_autofree char *text = recent_text (window, i, G_MENU_ATTRIBUTE_LABEL);
      const char *name = g_str_equal (target, copies[0]) ? "may__14" : "june__2";

      g_assert_true (g_str_has_prefix (text, "run__14.comb  ("));
      g_assert_nonnull (strstr (text, name));
    }
  last = faint_settings_get_string (settings, "last-folder");
  folder = g_path_get_dirname (copies[1]);
  g_assert_cmpstr (last, ==, folder);
  _faint_window_choose_open (window);
  window_test_linger (300);
  shown = gtk_file_chooser_get_current_folder (GTK_FILE_CHOOSER (window->dialog));
  want = g_file_new_for_path (folder);
  g_assert_nonnull (shown);
  g_assert_true (g_file_equal (shown, want));
  gtk_native_dialog_destroy (GTK_NATIVE_DIALOG (window->dialog));
  g_clear_object (&window->dialog);

  g_assert_cmpint (g_remove (copies[0]), ==, 0);
  _faint_window_fill_recent (window);
  g_assert_false (both_are_there (window));
  window_test_close (window);
  g_free (copies[0]);
  g_free (copies[1]);
}

/* Clicks so many units beside @line; whether that selected it. */
static gboolean
click_selects (FaintWindow *window, const FaintLine *line, double units)
{
  FaintPlot *plot = FAINT_PLOT (window->plot);
  g_autofree char *command = NULL;
  FaintView view;
  int x, y, apart;

  faint_session_set_selected (window->session, 0);
  /* two clicks near by in a short time are a double click, which fits the view to the line */
  g_object_get (gtk_widget_get_settings (GTK_WIDGET (window)), "gtk-double-click-time", &apart,
                NULL);
  window_test_linger ((guint)apart + 50);
  g_assert_true (faint_plot_shared_view (plot, &view));
  hand_place_of (plot->overlay, faint_view_x (&view, line->position.value) + units,
                 view.place.y + view.place.height / 2, &x, &y);
  command = g_strdup_printf ("xdotool mousemove %d %d click 1", x, y);
  hand (command);
  return faint_session_get_selected (window->session) == line->id;
}

/* With the whole span in view a click is meant for a line from 8 units on either side, far zoomed
 * in from two half widths, however many units these are (both common practice, no source). */
static void
test_reach (void)
{
  FaintWindow *window;
  const FaintLine *line;
  double half, units;
  FaintView view;

  if (!hand_is_there ())
    return;
  window = window_test_fitted ();
  line = window_test_line (window, 3);
  faint_session_show_all (window->session);
  window_test_linger (300);
  g_assert_true (click_selects (window, line, 0));
  for (int side = -1; side <= 1; side += 2)
    {
      /* the pointer stands in whole units */
      g_assert_true (click_selects (window, line, side * (FAINT_HIT_REACH - 1.5)));
      g_assert_false (click_selects (window, line, side * (FAINT_HIT_REACH + 2)));
    }
  half = faint_hit_half_width (line, NAN);
  faint_session_set_view (window->session, line->position.value - 5 * half,
                          line->position.value + 5 * half);
  window_test_linger (300);
  g_assert_true (faint_plot_shared_view (FAINT_PLOT (window->plot), &view));
  units = faint_view_x (&view, line->position.value + half)
          - faint_view_x (&view, line->position.value);
  g_assert_cmpfloat (units, >, 3 * FAINT_HIT_REACH);
  for (int side = -1; side <= 1; side += 2)
    {
      g_assert_true (click_selects (window, line, side * 1.9 * units));
      g_assert_false (click_selects (window, line, side * 2.1 * units));
    }
  window_test_close (window);
}

int
main (int argc, char **argv)
{
  int status;

  gtk_test_init (&argc, &argv);
  gsl_set_error_handler_off ();
  window_test_begin ();
  g_test_add_func ("/window/stages/strength-at", test_strength_at);
  g_test_add_func ("/window/stages/single-pass", test_single_pass);
  g_test_add_func ("/window/stages/interleaved", test_interleaved);
  g_test_add_func ("/window/recent", test_recent);
  g_test_add_func ("/window/reach", test_reach);
  status = g_test_run ();
  window_test_end ();
  return status;
}
