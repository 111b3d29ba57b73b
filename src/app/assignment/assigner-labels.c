/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Labels by hand, each change one named step of the history.
 */
#include "app/assignment/assigner-private.h"

#include <glib/gi18n.h>
#include <string.h>

#include "app/assignment/assignment-figures.h"

/* A copy of the lines to change; their texts belong to the list. */
static FaintLine *
copy_lines (const FaintLineList *list, gsize *n)
{
  FaintLine *lines;

  *n = faint_line_list_get_n (list);
  lines = g_new (FaintLine, MAX (*n, 1));
  for (gsize i = 0; i < *n; i++)
    lines[i] = *faint_line_list_get (list, i);
  return lines;
}

static void
take_lines (FaintAssigner *self, const FaintLine *lines, gsize n, const char *label)
{
  g_autoptr (FaintLineList) labelled = faint_line_list_new (lines, n);

  faint_document_label_lines (self->document, labelled, label, NULL);
}

/* Behind the name of the state. */
static const char *
bare_label (const char *label)
{
  const char *colon = strrchr (label, ':');

  return colon ? colon + 1 : label;
}

/* Free with g_free. */
static char *
upper_label (FaintAssigner *self, const FaintTransition *it)
{
  g_autofree char *own = faint_ladder_label (g_ptr_array_index (self->ladders, it->ladder),
                                             self->chosen.levels, it->j);
  const char *colon = it->state ? strrchr (it->state, ':') : NULL;
  int length = colon ? (int)(colon - it->state) : it->state ? (int)strlen (it->state) : 0;

  if (it->state == NULL)
    return g_steal_pointer (&own);
  return g_strdup_printf ("%.*s%s%s", length, it->state, length > 0 ? ":" : "", bare_label (own));
}

static const FaintLevel *
lower_level (FaintAssigner *self, const FaintTransition *it)
{
  const FaintLadder *ladder;

  if (self->ladders == NULL || it->ladder >= self->ladders->len)
    return NULL;
  ladder = g_ptr_array_index (self->ladders, it->ladder);
  if (it->j < (int)ladder->j_min || it->j > (int)ladder->j_max)
    return NULL;
  return faint_ladder_lower (ladder, self->chosen.levels, it->branch, it->j);
}

static char *
in_words (FaintAssigner *self, const FaintTransition *it)
{
  return faint_transition_in_words (self, it->ladder, it->branch, it->j);
}

/* "Assign P(12)", "Assign P(21) and R(19)", "Assign R(3) to R(9)", "Assign 12 Lines". */
static char *
step_name (FaintAssigner *self, const FaintTransition *transitions, gsize n)
{
  g_autofree char *first = in_words (self, &transitions[0]);
  g_autofree char *last = in_words (self, &transitions[n - 1]);

  if (n == 1)
    /* Translators: a step of the history; a transition such as "P(12)" */
    return g_strdup_printf (_ ("Assign %s"), first);
  if (n == 2)
    return g_strdup_printf (_ ("Assign %s and %s"), first, last);
  for (gsize i = 1; i < n; i++)
    if (transitions[i].branch != transitions[0].branch
        || transitions[i].ladder != transitions[0].ladder)
      return g_strdup_printf (ngettext ("Assign %u Line", "Assign %u Lines", n), (guint)n);
  return g_strdup_printf (_ ("Assign %s to %s"), first, last);
}

/* One transition is one line. */
static void
take_from_others (FaintLine *lines, gsize n, gsize index)
{
  for (gsize i = 0; i < n; i++)
    if (i != index && g_str_equal (lines[i].upper, lines[index].upper)
        && g_str_equal (lines[i].lower, lines[index].lower))
      lines[i].upper = lines[i].lower = "";
}

gboolean
faint_assigner_label (FaintAssigner *self, const FaintTransition *transitions, gsize n,
                      GError **error)
{
  FaintLineList *list = faint_document_get_lines (self->document);
  g_autoptr (GPtrArray) texts = g_ptr_array_new_with_free_func (g_free);
  g_autofree FaintLine *lines = NULL;
  g_autofree char *label = NULL;
  gsize n_lines;

  g_return_val_if_fail (self->chosen.levels != NULL && list != NULL && n > 0, FALSE);
  lines = copy_lines (list, &n_lines);
  for (gsize i = 0; i < n; i++)
    {
      const FaintTransition *it = &transitions[i];
      const FaintLevel *lower = lower_level (self, it);
      gsize index = faint_line_list_index_of (list, it->id);

      if (lower == NULL || index == G_MAXSIZE)
        {
          g_set_error (error, G_IO_ERROR, G_IO_ERROR_NOT_FOUND,
                       _ ("There is no line %c(%d) with the levels that were read."),
                       faint_branch_letter (it->branch), faint_branch_lower_j (it->branch, it->j));
          return FALSE;
        }
      g_ptr_array_add (texts, upper_label (self, it));
      lines[index].upper = g_ptr_array_index (texts, texts->len - 1);
      lines[index].lower = lower->label;
      take_from_others (lines, n_lines, index);
    }
  label = step_name (self, transitions, n);
  take_lines (self, lines, n_lines, label);
  return TRUE;
}

gboolean
faint_assigner_transition_of (FaintAssigner *self, const FaintLine *line, FaintTransition *it)
{
  const FaintLevel *lower;

  g_return_val_if_fail (FAINT_IS_ASSIGNER (self), FALSE);
  lower = self->chosen.levels && *line->lower ? faint_levels_find (self->chosen.levels, line->lower)
                                              : NULL;
  for (guint l = 0; lower && l < self->ladders->len; l++)
    for (FaintBranch branch = 0; branch < FAINT_BRANCH_N; branch++)
      {
        FaintTransition tried = { line->id, l, branch, (int)lower->numbers.j, "" };
        g_autofree char *upper = NULL;

        tried.j += branch == FAINT_BRANCH_P ? -1 : branch == FAINT_BRANCH_R ? 1 : 0;
        if (lower_level (self, &tried) != lower)
          continue;
        upper = upper_label (self, &tried);
        if (!g_str_equal (upper, bare_label (line->upper)))
          continue;
        tried.state = bare_label (line->upper) > line->upper ? line->upper : "";
        *it = tried;
        return TRUE;
      }
  return FALSE;
}

const FaintLine *
faint_assigner_line_of (FaintAssigner *self, const FaintTransition *it)
{
  FaintLineList *list = faint_document_get_lines (self->document);
  const FaintLevel *lower = lower_level (self, it);
  g_autofree char *upper = NULL;

  g_return_val_if_fail (FAINT_IS_ASSIGNER (self), NULL);
  if (list == NULL || lower == NULL)
    return NULL;
  upper = upper_label (self, it);
  for (gsize i = 0; i < faint_line_list_get_n (list); i++)
    {
      const FaintLine *line = faint_line_list_get (list, i);

      if (g_str_equal (line->upper, upper) && g_str_equal (line->lower, lower->label))
        return line;
    }
  return NULL;
}

/* Named by the transition, else by the position. */
static char *
line_step_name (FaintAssigner *self, const FaintLine *line, gboolean assigned)
{
  FaintTransition it;
  char number[G_ASCII_DTOSTR_BUF_SIZE];

  if (faint_assigner_transition_of (self, line, &it))
    {
      g_autofree char *words = in_words (self, &it);

      return g_strdup_printf (assigned ? _ ("Assign %s") : _ ("Unassign %s"), words);
    }
  g_ascii_formatd (number, sizeof number, "%.3f", line->position.value);
  return g_strdup_printf (assigned ? _ ("Assign Line %s") : _ ("Unassign Line %s"), number);
}

void
faint_assigner_set_labels (FaintAssigner *self, guint id, const char *upper, const char *lower)
{
  FaintLineList *list = faint_document_get_lines (self->document);
  gsize index = list ? faint_line_list_index_of (list, id) : G_MAXSIZE, n;
  gboolean assigned = *upper || *lower;
  g_autofree FaintLine *lines = NULL;
  g_autofree char *label = NULL;

  if (index == G_MAXSIZE)
    return;
  lines = copy_lines (list, &n);
  if (g_str_equal (lines[index].upper, upper) && g_str_equal (lines[index].lower, lower))
    return;
  if (!assigned)
    label = line_step_name (self, &lines[index], FALSE);
  lines[index].upper = upper;
  lines[index].lower = lower;
  if (assigned)
    label = line_step_name (self, &lines[index], TRUE);
  take_lines (self, lines, n, label);
}

void
faint_assigner_remove (FaintAssigner *self, const guint *ids, gsize n)
{
  FaintLineList *list = faint_document_get_lines (self->document);
  g_autofree FaintLine *lines = NULL;
  g_autofree char *label = NULL;
  gsize n_lines;
  guint removed = 0;

  if (list == NULL)
    return;
  lines = copy_lines (list, &n_lines);
  for (gsize i = 0; i < n; i++)
    {
      gsize index = faint_line_list_index_of (list, ids[i]);

      if (index == G_MAXSIZE || (*lines[index].upper == '\0' && *lines[index].lower == '\0'))
        continue;
      if (removed++ == 0)
        label = line_step_name (self, &lines[index], FALSE);
      lines[index].upper = lines[index].lower = "";
    }
  if (removed == 0)
    return;
  if (removed > 1)
    {
      g_free (label);
      label
          = g_strdup_printf (ngettext ("Unassign %u Line", "Unassign %u Lines", removed), removed);
    }
  take_lines (self, lines, n_lines, label);
}

void
faint_assigner_remove_all (FaintAssigner *self)
{
  FaintLineList *list = faint_document_get_lines (self->document);
  g_autofree FaintLine *lines = NULL;
  gboolean any = FALSE;
  gsize n;

  if (list == NULL)
    return;
  lines = copy_lines (list, &n);
  for (gsize i = 0; i < n; i++)
    {
      any = any || *lines[i].upper || *lines[i].lower;
      lines[i].upper = lines[i].lower = "";
    }
  if (any)
    take_lines (self, lines, n, _ ("Unassign All Lines"));
}
