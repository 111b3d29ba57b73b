/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/data/import-conditions.h"

#include <glib/gi18n.h>

#include "app/document/needed-conditions.h"
#include "app/parts/pane.h"
#include "app/parts/quantity-entry.h"
#include "app/data/setup-field.h"

#define MAX_CHOICES 8

typedef enum
{
  SECTION_RECORD,
  SECTION_GAS,
  SECTION_COMB,
  SECTION_CAVITY,
  SECTION_MIRRORS, /* one of its rows is shown */
  N_SECTIONS
} Section;

static const char *const section_names[N_SECTIONS]
    = { N_ ("Record"), N_ ("Gas"), N_ ("Comb"), N_ ("Cavity"), N_ ("Mirrors") };

/* Files, detuning and the like are stated later, in their stages. */
static const struct
{
  const char *key, *name;
  Section section;
} rows[] = {
  { "observable", N_ ("Observable"), SECTION_RECORD },
  { "title", N_ ("Title"), SECTION_RECORD },
  { "recording_time", N_ ("Recording time"), SECTION_RECORD },
  { "temperature", N_ ("Temperature"), SECTION_GAS },
  { "pressure", N_ ("Pressure"), SECTION_GAS },
  { "mole_fraction", N_ ("Mole fraction"), SECTION_GAS },
  { "isotopic_abundance", N_ ("Isotopic abundance"), SECTION_GAS },
  { "molar_mass", N_ ("Molar mass"), SECTION_GAS },
  { "repetition_rate", N_ ("Repetition rate"), SECTION_COMB },
  { "offset_frequency", N_ ("Offset frequency"), SECTION_COMB },
  { "cavity", N_ ("Geometry"), SECTION_CAVITY },
  { "coupling", N_ ("Coupling"), SECTION_CAVITY },
  { "cavity_length", N_ ("Cavity length"), SECTION_CAVITY },
  { "absorber_length", N_ ("Absorber length"), SECTION_CAVITY },
  { "finesse", N_ ("Finesse"), SECTION_MIRRORS },
  { "mirror_reflectivity", N_ ("Mirror reflectivity"), SECTION_MIRRORS },
  { "ring_down_time", N_ ("Ring-down time"), SECTION_MIRRORS },
  { "cavity_linewidth", N_ ("Mode width (FWHM)"), SECTION_MIRRORS },
};
#define N_ROWS G_N_ELEMENTS (rows)

typedef struct
{
  const FaintSetupKey *key;
  GtkWidget *control, *label; /* no label: one of the mirrors' */
  char **choices;             /* of a choice */
} Row;

struct _FaintImportConditions
{
  GtkBox parent;

  FaintSetup *setup;
  Row row[N_ROWS];
  GtkWidget *mirrors; /* GtkDropDown: how they were measured */
  GtkWidget *stack;   /* of the entries of the mirrors */
  gboolean filling;
};

static guint changed;

G_DEFINE_FINAL_TYPE (FaintImportConditions, faint_import_conditions, GTK_TYPE_BOX)

static guint
row_of_control (FaintImportConditions *self, gpointer control)
{
  guint i = 0;

  while (i < N_ROWS && (gpointer)self->row[i].control != control)
    i++;
  return i;
}

static guint
row_of_key (const char *key)
{
  guint i = 0;

  while (i < N_ROWS && strcmp (rows[i].key, key) != 0)
    i++;
  return i;
}

/* What a fit needs and nobody has stated. */
static void
mark_needed (FaintImportConditions *self)
{
  for (guint i = 0; i < N_ROWS; i++)
    {
      GtkWidget *control = self->row[i].control;
      gboolean needed = faint_condition_is_missing (self->setup, rows[i].key);

      if (needed)
        gtk_widget_add_css_class (control, "needed");
      else
        gtk_widget_remove_css_class (control, "needed");
      if (FAINT_IS_QUANTITY_ENTRY (control))
        faint_quantity_entry_set_needed (FAINT_QUANTITY_ENTRY (control), needed);
    }
  gtk_label_set_text (GTK_LABEL (self->row[row_of_key ("cavity_length")].label),
                      faint_cavity_length_in_words (self->setup->geometry));
}

/* Sets a key, and its uncertainty where @u_text is not NULL. */
static gboolean
state (FaintImportConditions *self, guint i, const char *text, const char *u_text, GError **error)
{
  g_autoptr (FaintSetup) setup = faint_setup_copy (self->setup);
  g_autofree char *u_key = g_strdup_printf ("u(%s)", rows[i].key);

  if (!faint_setup_set (setup, rows[i].key, text, NULL, error)
      || (u_text && *text && !faint_setup_set (setup, u_key, u_text, NULL, error)))
    return FALSE;
  faint_setup_unref (self->setup);
  self->setup = g_steal_pointer (&setup);
  mark_needed (self);
  g_signal_emit (self, changed, 0);
  return TRUE;
}

static void
on_committed (FaintQuantityEntry *entry, FaintImportConditions *self)
{
  FaintQuantity quantity = faint_quantity_entry_get (entry);
  g_autofree char *text = faint_quantity_to_text (quantity);
  g_autofree char *u_text = faint_quantity_u_to_text (quantity);
  g_autoptr (GError) error = NULL;

  if (state (self, row_of_control (self, entry), text, u_text, &error))
    faint_quantity_entry_set (entry, quantity);
  else
    faint_quantity_entry_set_error (entry, error->message);
}

static void
on_choice (GtkDropDown *drop_down, GParamSpec *pspec, FaintImportConditions *self)
{
  guint position = gtk_drop_down_get_selected (drop_down), i = row_of_control (self, drop_down);
  const char *text;

  if (self->filling || i == N_ROWS || position == GTK_INVALID_LIST_POSITION)
    return;
  /* the first takes it back to not stated */
  text = position == 0 ? "" : self->row[i].choices[position - 1];
  state (self, i, text, NULL, NULL);
}

static void
commit_title (FaintImportConditions *self, guint i)
{
  const char *text = gtk_editable_get_text (GTK_EDITABLE (self->row[i].control));
  g_autofree char *before = faint_setup_get (self->setup, rows[i].key);

  if (!self->filling && strcmp (text, before ? before : "") != 0)
    state (self, i, text, NULL, NULL);
}

static void
on_title (GtkEditable *editable, FaintImportConditions *self)
{
  commit_title (self, row_of_control (self, editable));
}

static void
on_title_leave (GtkEventControllerFocus *controller, FaintImportConditions *self)
{
  GtkWidget *entry = gtk_event_controller_get_widget (GTK_EVENT_CONTROLLER (controller));

  if (entry)
    commit_title (self, row_of_control (self, entry));
}

/* Another way to measure the mirrors forgets the former one: they are described once. */
static void
on_mirrors (GtkDropDown *drop_down, GParamSpec *pspec, FaintImportConditions *self)
{
  guint first = row_of_key ("finesse"), position = gtk_drop_down_get_selected (drop_down);
  const char *key = rows[first + position].key;

  gtk_stack_set_visible_child_name (GTK_STACK (self->stack), key);
  if (self->filling)
    return;
  for (guint i = first; i < N_ROWS; i++)
    {
      g_autofree char *text = faint_setup_get (self->setup, rows[i].key);

      if (i != first + position && text && *text)
        {
          state (self, i, "", NULL, NULL);
          faint_quantity_entry_set (FAINT_QUANTITY_ENTRY (self->row[i].control),
                                    FAINT_QUANTITY_UNKNOWN);
        }
    }
}

static GtkWidget *
choice_new (FaintImportConditions *self, guint i)
{
  const char *words[MAX_CHOICES + 2] = { _ ("Not stated") };
  GtkWidget *drop_down;

  self->row[i].choices = g_strsplit (self->row[i].key->choices, "|", MAX_CHOICES);
  for (guint k = 0; self->row[i].choices[k]; k++)
    words[k + 1] = faint_setup_choice_in_words (g_strstrip (self->row[i].choices[k]));
  drop_down = gtk_drop_down_new_from_strings (words);
  g_signal_connect (drop_down, "notify::selected", G_CALLBACK (on_choice), self);
  return drop_down;
}

static GtkWidget *
title_new (FaintImportConditions *self)
{
  GtkWidget *entry = gtk_entry_new ();
  GtkEventController *focus = gtk_event_controller_focus_new ();

  g_signal_connect (entry, "activate", G_CALLBACK (on_title), self);
  g_signal_connect (focus, "leave", G_CALLBACK (on_title_leave), self);
  gtk_widget_add_controller (entry, focus);
  return entry;
}

static GtkWidget *
control_new (FaintImportConditions *self, guint i)
{
  const FaintSetupKey *key = self->row[i].key;
  const char *name = _ (rows[i].name);
  GtkWidget *control;

  if (key->kind == FAINT_SETUP_KIND_QUANTITY)
    {
      control = faint_quantity_entry_new (name, key->dimension);
      faint_quantity_entry_set_needed (FAINT_QUANTITY_ENTRY (control), FALSE);
      g_signal_connect (control, "committed", G_CALLBACK (on_committed), self);
    }
  else
    control = key->kind == FAINT_SETUP_KIND_CHOICE ? choice_new (self, i) : title_new (self);
  gtk_accessible_update_property (GTK_ACCESSIBLE (control), GTK_ACCESSIBLE_PROPERTY_LABEL, name,
                                  -1);
  gtk_widget_set_tooltip_text (control, key->meaning);
  return control;
}

static void
build_mirrors (FaintImportConditions *self, GtkWidget *grid)
{
  GtkStringList *names = gtk_string_list_new (NULL);

  self->stack = gtk_stack_new ();
  gtk_stack_set_vhomogeneous (GTK_STACK (self->stack), FALSE);
  for (guint i = row_of_key ("finesse"); i < N_ROWS; i++)
    {
      gtk_string_list_append (names, _ (rows[i].name));
      gtk_stack_add_named (GTK_STACK (self->stack), self->row[i].control, rows[i].key);
    }
  self->mirrors = gtk_drop_down_new (G_LIST_MODEL (names), NULL);
  gtk_accessible_update_property (GTK_ACCESSIBLE (self->mirrors), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                  _ ("Measured quantity of the mirrors"), -1);
  g_signal_connect (self->mirrors, "notify::selected", G_CALLBACK (on_mirrors), self);
  faint_pane_row (grid, _ ("Measured"), self->mirrors);
  faint_pane_row (grid, _ ("Value"), self->stack);
}

static void
faint_import_conditions_dispose (GObject *object)
{
  FaintImportConditions *self = FAINT_IMPORT_CONDITIONS (object);

  g_clear_pointer (&self->setup, faint_setup_unref);
  for (guint i = 0; i < N_ROWS; i++)
    {
      g_clear_pointer (&self->row[i].choices, g_strfreev);
      self->row[i].control = NULL;
    }
  G_OBJECT_CLASS (faint_import_conditions_parent_class)->dispose (object);
}

static void
faint_import_conditions_class_init (FaintImportConditionsClass *klass)
{
  G_OBJECT_CLASS (klass)->dispose = faint_import_conditions_dispose;
  changed = g_signal_new ("changed", G_TYPE_FROM_CLASS (klass), G_SIGNAL_RUN_LAST, 0, NULL, NULL,
                          NULL, G_TYPE_NONE, 0);
}

static void
faint_import_conditions_init (FaintImportConditions *self)
{
  GtkWidget *grids[N_SECTIONS];

  faint_pane_prepare (GTK_BOX (self));
  self->setup = faint_setup_new ();
  self->filling = TRUE;
  for (guint s = 0; s < N_SECTIONS; s++)
    grids[s] = faint_pane_section (GTK_WIDGET (self), _ (section_names[s]));
  for (guint i = 0; i < N_ROWS; i++)
    {
      self->row[i].key = faint_setup_key_find (rows[i].key);
      self->row[i].control = control_new (self, i);
      if (rows[i].section != SECTION_MIRRORS)
        self->row[i].label
            = faint_pane_row (grids[rows[i].section], _ (rows[i].name), self->row[i].control);
    }
  build_mirrors (self, grids[SECTION_MIRRORS]);
  self->filling = FALSE;
}

GtkWidget *
faint_import_conditions_new (void)
{
  return g_object_new (FAINT_TYPE_IMPORT_CONDITIONS, NULL);
}

static GtkWidget *
scrolled_new (GtkWidget *child)
{
  GtkWidget *scrolled = gtk_scrolled_window_new ();

  gtk_scrolled_window_set_policy (GTK_SCROLLED_WINDOW (scrolled), GTK_POLICY_NEVER,
                                  GTK_POLICY_AUTOMATIC);
  gtk_scrolled_window_set_child (GTK_SCROLLED_WINDOW (scrolled), child);
  return scrolled;
}

GtkWidget *
faint_import_paned_new (GtkWidget *left, GtkWidget *conditions)
{
  GtkWidget *paned = gtk_paned_new (GTK_ORIENTATION_HORIZONTAL);

  gtk_paned_set_start_child (GTK_PANED (paned), scrolled_new (left));
  gtk_paned_set_end_child (GTK_PANED (paned), scrolled_new (conditions));
  gtk_paned_set_resize_end_child (GTK_PANED (paned), FALSE);
  gtk_paned_set_shrink_start_child (GTK_PANED (paned), FALSE);
  gtk_paned_set_shrink_end_child (GTK_PANED (paned), FALSE);
  gtk_accessible_update_property (GTK_ACCESSIBLE (paned), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                  _ ("Border of the conditions"), -1);
  return paned;
}

static void
show_quantity (FaintImportConditions *self, guint i, const char *text)
{
  g_autofree char *u_key = g_strdup_printf ("u(%s)", rows[i].key);
  g_autofree char *u_text = faint_setup_get (self->setup, u_key);
  FaintQuantity quantity = FAINT_QUANTITY_UNKNOWN;

  if (text && faint_quantity_parse (text, self->row[i].key->dimension, &quantity, NULL) && u_text)
    faint_quantity_parse_u (u_text, self->row[i].key->dimension, &quantity, NULL);
  faint_quantity_entry_set (FAINT_QUANTITY_ENTRY (self->row[i].control), quantity);
  if (text && *text && rows[i].section == SECTION_MIRRORS)
    gtk_drop_down_set_selected (GTK_DROP_DOWN (self->mirrors), i - row_of_key ("finesse"));
}

static void
show_choice (FaintImportConditions *self, guint i, const char *text)
{
  guint position = 0;

  for (guint k = 0; text && self->row[i].choices[k]; k++)
    if (strcmp (self->row[i].choices[k], text) == 0)
      position = k + 1;
  gtk_drop_down_set_selected (GTK_DROP_DOWN (self->row[i].control), position);
}

void
faint_import_conditions_set_setup (FaintImportConditions *self, const FaintSetup *setup)
{
  g_return_if_fail (FAINT_IS_IMPORT_CONDITIONS (self));
  faint_setup_unref (self->setup);
  self->setup = faint_setup_copy (setup);
  self->filling = TRUE;
  for (guint i = 0; i < N_ROWS; i++)
    {
      g_autofree char *text = faint_setup_get (self->setup, rows[i].key);

      if (self->row[i].key->kind == FAINT_SETUP_KIND_QUANTITY)
        show_quantity (self, i, text);
      else if (self->row[i].key->kind == FAINT_SETUP_KIND_CHOICE)
        show_choice (self, i, text);
      else
        gtk_editable_set_text (GTK_EDITABLE (self->row[i].control), text ? text : "");
    }
  self->filling = FALSE;
  mark_needed (self);
}

void
faint_import_conditions_set_read (FaintImportConditions *self)
{
  GtkWidget *control;

  g_return_if_fail (FAINT_IS_IMPORT_CONDITIONS (self));
  control = self->row[row_of_key ("observable")].control;
  gtk_widget_set_sensitive (control, FALSE);
  gtk_widget_set_tooltip_text (control, _ ("As the samples were read"));
}

const FaintSetup *
faint_import_conditions_get_setup (FaintImportConditions *self)
{
  g_return_val_if_fail (FAINT_IS_IMPORT_CONDITIONS (self), NULL);
  return self->setup;
}

gboolean
faint_import_conditions_enter (FaintImportConditions *self, const char *key, const char *text)
{
  guint i = row_of_key (key);
  FaintQuantityEntry *entry;

  g_return_val_if_fail (FAINT_IS_IMPORT_CONDITIONS (self), FALSE);
  g_return_val_if_fail (i < N_ROWS, FALSE);
  if (rows[i].section == SECTION_MIRRORS)
    gtk_drop_down_set_selected (GTK_DROP_DOWN (self->mirrors), i - row_of_key ("finesse"));
  if (self->row[i].key->kind == FAINT_SETUP_KIND_CHOICE)
    {
      show_choice (self, i, text);
      return TRUE;
    }
  if (self->row[i].key->kind != FAINT_SETUP_KIND_QUANTITY)
    {
      gtk_editable_set_text (GTK_EDITABLE (self->row[i].control), text);
      commit_title (self, i);
      return TRUE;
    }
  entry = FAINT_QUANTITY_ENTRY (self->row[i].control);
  gtk_editable_set_text (GTK_EDITABLE (faint_quantity_entry_get_entry (entry)), text);
  faint_quantity_entry_commit (entry);
  return faint_quantity_entry_get_error (entry) == NULL;
}

const char *
faint_import_conditions_get_error (FaintImportConditions *self, const char *key)
{
  guint i = row_of_key (key);

  g_return_val_if_fail (FAINT_IS_IMPORT_CONDITIONS (self) && i < N_ROWS, NULL);
  return FAINT_IS_QUANTITY_ENTRY (self->row[i].control)
             ? faint_quantity_entry_get_error (FAINT_QUANTITY_ENTRY (self->row[i].control))
             : NULL;
}

gboolean
faint_import_conditions_commit (FaintImportConditions *self)
{
  g_return_val_if_fail (FAINT_IS_IMPORT_CONDITIONS (self), FALSE);
  for (guint i = 0; i < N_ROWS; i++)
    {
      FaintQuantityEntry *entry;

      if (self->row[i].key->kind == FAINT_SETUP_KIND_TEXT)
        commit_title (self, i);
      if (self->row[i].key->kind != FAINT_SETUP_KIND_QUANTITY)
        continue;
      entry = FAINT_QUANTITY_ENTRY (self->row[i].control);
      faint_quantity_entry_commit (entry);
      if (faint_quantity_entry_get_error (entry) == NULL)
        continue;
      gtk_widget_grab_focus (faint_quantity_entry_get_entry (entry));
      return FALSE;
    }
  return TRUE;
}

char *
faint_import_conditions_missing (const FaintSetup *setup)
{
  g_autoptr (GString) missing = g_string_new (NULL);

  /* the first of the mirrors' rows stands for all of them */
  for (guint i = 0; i <= row_of_key ("finesse"); i++)
    if (faint_condition_is_missing (setup, rows[i].key))
      g_string_append_printf (missing, "%s%s", missing->len > 0 ? ", " : "",
                              rows[i].section == SECTION_MIRRORS
                                  ? _ (section_names[SECTION_MIRRORS])
                              : g_str_equal (rows[i].key, "cavity_length")
                                  ? faint_cavity_length_in_words (setup->geometry)
                                  : _ (rows[i].name));
  if (missing->len == 0)
    return NULL;
  /* Translators: names of quantities that are not stated */
  return g_strdup_printf (_ ("Not stated yet: %s. The spectrum opens without them, but no line can "
                             "be found or fitted and no strength computed until they are stated, "
                             "here or in the stages Data and Cavity."),
                          missing->str);
}
