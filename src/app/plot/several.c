/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Lines selected together.
 */
#include "app/plot/plot-private.h"

/* Lines selected with the one in hand, which has its own mark. */
void
faint_plot_show_several (FaintPlot *self)
{
  gsize n;
  const guint *ids = faint_session_get_several (self->session, &n);
  guint selected = faint_session_get_selected (self->session);
  g_autoptr (GHashTable) wanted = g_hash_table_new (NULL, NULL);
  g_autoptr (GArray) places = g_array_new (FALSE, FALSE, sizeof (double));
  const FaintLineList *lines = self->data != NULL ? self->data->lines : NULL;

  for (gsize i = 0; i < n; i++)
    if (ids[i] != selected)
      g_hash_table_add (wanted, GUINT_TO_POINTER (ids[i]));
  for (gsize i = 0;
       lines != NULL && g_hash_table_size (wanted) > 0 && i < faint_line_list_get_n (lines); i++)
    {
      const FaintLine *line = faint_line_list_get (lines, i);

      if (g_hash_table_contains (wanted, GUINT_TO_POINTER (line->id)))
        g_array_append_val (places, line->position.value);
    }
  faint_plot_marks_set_several (FAINT_PLOT_MARKS (self->marks),
                                (const double *)(void *)places->data, places->len);
}
