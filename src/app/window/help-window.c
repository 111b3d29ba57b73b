/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Lays the manual's text out: headings, paragraphs, lists, and words set off within a line. The
 * markup of the manual is known to us, so this is no general reader.
 */
#include "app/window/help-window.h"

#include <glib/gi18n.h>
#include <string.h>

#define MANUAL "/org/faintline/Faintline/manual.md"

struct _FaintHelpWindow
{
  GtkWindow parent;

  GtkTextView *view;
  GtkTextBuffer *buffer;
  GtkWidget *contents; /* GtkBox of buttons */
  GtkTextMark *wanted; /* to be shown once the text is laid out; NULL: nothing waits */
  guint place_source;
};

G_DEFINE_FINAL_TYPE (FaintHelpWindow, faint_help_window, GTK_TYPE_WINDOW)

/* Headings of the manual, in its own words. */
static const char *const stage_headings[FAINT_N_STAGES]
    = { "Data", "Cavity", "Lines", "Strengths", "Assignment", "Review" };

static void
insert (FaintHelpWindow *self, const char *text, gssize length, const char *tag,
        const char *second_tag)
{
  GtkTextIter end;

  gtk_text_buffer_get_end_iter (self->buffer, &end);
  gtk_text_buffer_insert_with_tags_by_name (self->buffer, &end, text, (int)length, tag, second_tag,
                                            NULL);
}

/* A run up to @mark, set in @inner; returns what follows, or NULL where the mark does not close. */
static const char *
insert_run (FaintHelpWindow *self, const char *text, char mark, const char *tag, const char *inner)
{
  const char *end = strchr (text + 1, mark);

  if (end == NULL || end == text + 1)
    return NULL;
  insert (self, text + 1, end - text - 1, tag, inner);
  return end + 1;
}

/* "[words](address)" shows its words. */
static const char *
insert_link (FaintHelpWindow *self, const char *text, const char *tag)
{
  const char *middle = strstr (text, "](");
  const char *end = middle ? strchr (middle, ')') : NULL;

  if (end == NULL)
    return NULL;
  insert (self, text + 1, middle - text - 1, tag, NULL);
  return end + 1;
}

static void
insert_words (FaintHelpWindow *self, const char *text, const char *tag)
{
  while (*text)
    {
      gsize plain = strcspn (text, "*`[");
      const char *after = NULL;

      if (plain > 0)
        insert (self, text, (gssize)plain, tag, NULL);
      text += plain;
      if (*text == '*')
        after = insert_run (self, text, '*', tag, "emphasis");
      else if (*text == '`')
        after = insert_run (self, text, '`', tag, "code");
      else if (*text == '[')
        after = insert_link (self, text, tag);
      else
        break;
      if (after == NULL)
        insert (self, text, 1, tag, NULL);
      text = after ? after : text + 1;
    }
}

/* The text is laid out in idle moments, from the top; how far down a heading stands is not known
 * before that. This one comes after those. */
static gboolean
place_now (gpointer data)
{
  FaintHelpWindow *self = data;

  self->place_source = 0;
  /* To the top; an alignment to the left would scroll the margin away. */
  gtk_text_view_scroll_to_mark (self->view, self->wanted, 0, TRUE, 1, 0);
  self->wanted = NULL;
  return G_SOURCE_REMOVE;
}

static void
place_soon (FaintHelpWindow *self)
{
  if (self->wanted != NULL && self->place_source == 0
      && gtk_widget_get_mapped (GTK_WIDGET (self->view)))
    self->place_source = g_idle_add_full (G_PRIORITY_LOW, place_now, self, NULL);
}

static void
on_contents (GtkButton *button, FaintHelpWindow *self)
{
  faint_help_window_show_section (self, gtk_button_get_label (button));
}

static void
insert_heading (FaintHelpWindow *self, const char *line)
{
  gsize level = strspn (line, "#");
  const char *title = line + level + 1;
  g_autofree char *name = g_strdup_printf ("section-%s", title);
  GtkTextIter end;

  gtk_text_buffer_get_end_iter (self->buffer, &end);
  gtk_text_buffer_create_mark (self->buffer, name, &end, TRUE);
  insert (self, title, -1, level <= 1 ? "title" : level == 2 ? "heading" : "subheading", NULL);
  insert (self, "\n", 1, "paragraph", NULL);
  if (level > 1)
    {
      GtkWidget *button = gtk_button_new_with_label (title);
      GtkWidget *label = gtk_button_get_child (GTK_BUTTON (button));

      gtk_label_set_xalign (GTK_LABEL (label), 0);
      gtk_widget_set_margin_start (label, level > 2 ? 12 : 0);
      gtk_widget_add_css_class (button, "flat");
      g_signal_connect (button, "clicked", G_CALLBACK (on_contents), self);
      gtk_box_append (GTK_BOX (self->contents), button);
    }
}

static void
flush (FaintHelpWindow *self, GString *paragraph, const char *tag)
{
  if (paragraph->len == 0)
    return;
  insert_words (self, paragraph->str, tag);
  insert (self, "\n", 1, tag, NULL);
  g_string_truncate (paragraph, 0);
}

static gboolean
is_ruler (const char *line)
{
  return line && *line == '|' && strspn (line, "|-: ") == strlen (line);
}

/* "| word | meaning |" shows as an item; a table's head and the ruler under it do not show. */
static void
insert_table_row (FaintHelpWindow *self, const char *line, const char *next)
{
  g_auto (GStrv) cells = g_strsplit (line, "|", -1);
  gboolean first = TRUE;

  if (is_ruler (line) || is_ruler (next))
    return;
  for (guint i = 0; cells[i]; i++)
    {
      const char *cell = g_strstrip (cells[i]);

      if (*cell == '\0')
        continue;
      insert (self, first ? "•  " : " – ", -1, "item", NULL);
      insert_words (self, cell, "item");
      first = FALSE;
    }
  if (!first)
    insert (self, "\n", 1, "item", NULL);
}

static gboolean
is_block (const char *line)
{
  return g_str_has_prefix (line, "    ") || *line == '#' || *line == '\0' || *line == '|'
         || g_str_has_prefix (line, "- ") || g_str_has_prefix (line, "![");
}

static void
fill (FaintHelpWindow *self, const char *manual)
{
  g_auto (GStrv) lines = g_strsplit (manual, "\n", -1);
  g_autoptr (GString) paragraph = g_string_new (NULL);
  const char *tag = "paragraph";
  gboolean verbatim = FALSE;

  for (guint i = 0; lines[i]; i++)
    {
      const char *line = lines[i];
      gboolean fence = g_str_has_prefix (line, "```");

      if (fence || verbatim || is_block (line))
        {
          flush (self, paragraph, tag);
          tag = "paragraph";
        }
      if (fence)
        verbatim = !verbatim;
      else if (verbatim || g_str_has_prefix (line, "    "))
        {
          insert (self, line, -1, "verbatim", NULL);
          insert (self, "\n", 1, "verbatim", NULL);
        }
      else if (g_str_has_prefix (line, "!["))
        continue; /* a picture of the window, which stands beside this */
      else if (*line == '#')
        insert_heading (self, line);
      else if (*line == '|')
        insert_table_row (self, line, lines[i + 1]);
      else if (g_str_has_prefix (line, "- "))
        {
          tag = "item";
          g_string_append_printf (paragraph, "•  %s", line + 2);
        }
      else if (*line)
        g_string_append_printf (paragraph, "%s%s", paragraph->len > 0 ? " " : "",
                                line + strspn (line, " "));
    }
  flush (self, paragraph, tag);
}

static void
create_tags (FaintHelpWindow *self)
{
  gtk_text_buffer_create_tag (self->buffer, "title", "weight", PANGO_WEIGHT_BOLD, "scale", 1.6,
                              "pixels-below-lines", 10, NULL);
  gtk_text_buffer_create_tag (self->buffer, "heading", "weight", PANGO_WEIGHT_BOLD, "scale", 1.25,
                              "pixels-above-lines", 16, "pixels-below-lines", 6, NULL);
  gtk_text_buffer_create_tag (self->buffer, "subheading", "weight", PANGO_WEIGHT_BOLD,
                              "pixels-above-lines", 12, "pixels-below-lines", 4, NULL);
  gtk_text_buffer_create_tag (self->buffer, "paragraph", "pixels-below-lines", 6, NULL);
  gtk_text_buffer_create_tag (self->buffer, "item", "left-margin", 42, "indent", -16,
                              "pixels-below-lines", 4, NULL);
  gtk_text_buffer_create_tag (self->buffer, "verbatim", "family", "monospace", "left-margin", 42,
                              "wrap-mode", GTK_WRAP_NONE, NULL);
  gtk_text_buffer_create_tag (self->buffer, "emphasis", "style", PANGO_STYLE_ITALIC, NULL);
  gtk_text_buffer_create_tag (self->buffer, "code", "family", "monospace", NULL);
}

static gboolean
on_key (GtkEventControllerKey *controller, guint keyval, guint keycode, GdkModifierType state,
        FaintHelpWindow *self)
{
  if (keyval != GDK_KEY_Escape)
    return GDK_EVENT_PROPAGATE;
  gtk_window_close (GTK_WINDOW (self));
  return GDK_EVENT_STOP;
}

static void
faint_help_window_dispose (GObject *object)
{
  FaintHelpWindow *self = FAINT_HELP_WINDOW (object);

  g_clear_handle_id (&self->place_source, g_source_remove);
  G_OBJECT_CLASS (faint_help_window_parent_class)->dispose (object);
}

static void
faint_help_window_class_init (FaintHelpWindowClass *klass)
{
  G_OBJECT_CLASS (klass)->dispose = faint_help_window_dispose;
}

static void
faint_help_window_init (FaintHelpWindow *self)
{
  GtkWidget *box = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 0);
  GtkWidget *scrolled = gtk_scrolled_window_new ();
  GtkEventController *key = gtk_event_controller_key_new ();

  self->view = GTK_TEXT_VIEW (gtk_text_view_new ());
  self->buffer = gtk_text_view_get_buffer (self->view);
  gtk_text_view_set_editable (self->view, FALSE);
  gtk_text_view_set_cursor_visible (self->view, FALSE);
  gtk_text_view_set_wrap_mode (self->view, GTK_WRAP_WORD);
  gtk_text_view_set_left_margin (self->view, 24);
  gtk_text_view_set_right_margin (self->view, 24);
  gtk_text_view_set_top_margin (self->view, 18);
  gtk_text_view_set_bottom_margin (self->view, 24);
  gtk_accessible_update_property (GTK_ACCESSIBLE (self->view), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                  _ ("Manual"), -1);
  create_tags (self);

  self->contents = gtk_box_new (GTK_ORIENTATION_VERTICAL, 0);
  gtk_widget_add_css_class (self->contents, "pane");
  gtk_scrolled_window_set_child (GTK_SCROLLED_WINDOW (scrolled), GTK_WIDGET (self->view));
  gtk_widget_set_hexpand (scrolled, TRUE);
  gtk_box_append (GTK_BOX (box), self->contents);
  gtk_box_append (GTK_BOX (box), gtk_separator_new (GTK_ORIENTATION_VERTICAL));
  gtk_box_append (GTK_BOX (box), scrolled);
  gtk_window_set_child (GTK_WINDOW (self), box);
  gtk_window_set_title (GTK_WINDOW (self), _ ("Manual"));
  gtk_window_set_default_size (GTK_WINDOW (self), 860, 640);
  g_signal_connect_swapped (self->view, "map", G_CALLBACK (place_soon), self);
  g_signal_connect (key, "key-pressed", G_CALLBACK (on_key), self);
  gtk_widget_add_controller (GTK_WIDGET (self), key);
}

GtkWidget *
faint_help_window_new (GtkWindow *parent, FaintStage stage)
{
  FaintHelpWindow *self = g_object_new (FAINT_TYPE_HELP_WINDOW, "transient-for", parent,
                                        "destroy-with-parent", TRUE, NULL);
  g_autoptr (GBytes) manual = g_resources_lookup_data (MANUAL, G_RESOURCE_LOOKUP_FLAGS_NONE, NULL);

  if (manual)
    fill (self, g_bytes_get_data (manual, NULL));
  faint_help_window_show_section (self, stage_headings[stage]);
  gtk_window_set_focus (GTK_WINDOW (self), GTK_WIDGET (self->view));
  return GTK_WIDGET (self);
}

gboolean
faint_help_window_show_section (FaintHelpWindow *self, const char *title)
{
  g_autofree char *name = g_strdup_printf ("section-%s", title);
  GtkTextMark *mark;

  g_return_val_if_fail (FAINT_IS_HELP_WINDOW (self), FALSE);
  mark = gtk_text_buffer_get_mark (self->buffer, name);
  if (mark == NULL)
    return FALSE;
  self->wanted = mark;
  place_soon (self);
  return TRUE;
}

char *
faint_help_window_get_text (FaintHelpWindow *self)
{
  GtkTextIter start, end;

  g_return_val_if_fail (FAINT_IS_HELP_WINDOW (self), NULL);
  gtk_text_buffer_get_bounds (self->buffer, &start, &end);
  return gtk_text_buffer_get_text (self->buffer, &start, &end, FALSE);
}
