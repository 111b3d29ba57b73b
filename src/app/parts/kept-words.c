/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/parts/kept-words.h"

#include <glib/gi18n.h>
#include <string.h>

#include "faint/base/warnings.h"

#define MOST_PIECES 32
/* A text that was not made here may be read in very many ways; after so many steps what was found
 * is taken. */
#define MOST_STEPS 100000

static const char *const templates[] = {
#include "app/parts/kept-words-table.h"
  /* What the library joins others by. */
  N_ ("%s, %s"),
  NULL,
};

/* Literal text, or what conversions that stand side by side have put in its place. */
typedef struct
{
  char *text;       /* NULL: conversions */
  guint n;          /* of them */
  gboolean numeric; /* all but %s */
  gboolean quoted;
} Piece;

typedef struct
{
  const char *english;
  GArray *pieces;
  guint letters;
} Template;

/* How a text is read best. Of two ways that is the one whose outermost template is the shorter, so
 * that lists are taken apart before what they hold. */
typedef struct
{
  char *words;
  guint letters;   /* that stand in templates; 0: not understood */
  guint outermost; /* of them in the template that holds the others */
} Reading;

typedef struct
{
  GHashTable *readings; /* by text: Reading */
  guint steps;
} Reader;

/* A text being held against one template. */
typedef struct
{
  Reader *reader;
  const Template *template;
  char *parts[MOST_PIECES]; /* of conversions, by piece */
  Reading *best;
} Search;

static Reading *read_text (Reader *reader, const char *text);

/* The end of a conversion that begins with the '%' at @from. */
static const char *
conversion_end (const char *from)
{
  return from + strcspn (from + 1, "%diouxXeEfFgGaAcsp") + 2;
}

static void
append_literal (GArray *pieces, const char *text, gsize length)
{
  Piece *last = pieces->len > 0 ? &g_array_index (pieces, Piece, pieces->len - 1) : NULL;
  g_autofree char *more = g_strndup (text, length);

  if (last != NULL && last->text != NULL)
    {
      char *both = g_strconcat (last->text, more, NULL);

      g_free (last->text);
      last->text = both;
    }
  else
    g_array_append_val (pieces, ((Piece){ .text = g_steal_pointer (&more) }));
}

static void
append_conversion (GArray *pieces, gboolean numeric)
{
  Piece *last = pieces->len > 0 ? &g_array_index (pieces, Piece, pieces->len - 1) : NULL;

  if (last != NULL && last->text == NULL)
    {
      last->n++;
      last->numeric = FALSE;
    }
  else
    g_array_append_val (pieces, ((Piece){ .n = 1, .numeric = numeric }));
}

static guint
count_letters (const char *text)
{
  guint n = 0;

  for (; *text != '\0'; text++)
    n += g_ascii_isalpha (*text);
  return n;
}

static GArray *
split (const char *english)
{
  GArray *pieces = g_array_new (FALSE, FALSE, sizeof (Piece));

  while (*english != '\0')
    {
      gsize plain = strcspn (english, "%");
      const char *end;

      if (plain > 0)
        append_literal (pieces, english, plain);
      english += plain;
      if (*english == '\0')
        break;
      end = conversion_end (english);
      if (end[-1] == '%')
        append_literal (pieces, "%", 1);
      else
        append_conversion (pieces, end[-1] != 's');
      english = end;
    }
  return pieces;
}

static void
find_quoted (GArray *pieces)
{
  for (guint i = 1; i + 1 < pieces->len; i++)
    {
      const char *before = g_array_index (pieces, Piece, i - 1).text;
      const char *after = g_array_index (pieces, Piece, i + 1).text;

      g_array_index (pieces, Piece, i).quoted
          = before != NULL && after != NULL && g_str_has_suffix (before, "'") && *after == '\'';
    }
}

/* All of them, once for the program. */
static const Template *
all_templates (void)
{
  static Template *all = NULL;

  if (g_once_init_enter (&all))
    {
      Template *made = g_new0 (Template, G_N_ELEMENTS (templates));

      for (gsize i = 0; templates[i] != NULL; i++)
        {
          made[i].english = templates[i];
          made[i].pieces = split (templates[i]);
          find_quoted (made[i].pieces);
          for (guint k = 0; k < made[i].pieces->len; k++)
            if (g_array_index (made[i].pieces, Piece, k).text != NULL)
              made[i].letters += count_letters (g_array_index (made[i].pieces, Piece, k).text);
          g_assert (made[i].pieces->len < MOST_PIECES);
        }
      g_once_init_leave (&all, made);
    }
  return all;
}

static gboolean
is_number (const char *text)
{
  return *text != '\0'
         && (strspn (text, "+-0123456789.e") == strlen (text) || g_str_equal (text, "inf")
             || g_str_equal (text, "nan"));
}

/* What stands in place of the @n-th conversion, from 0; "" for others than the first of some side
 * by side, which hold nothing of their own. */
static const char *
part_of (const Search *self, char *const *translated, guint n)
{
  guint first = 0;

  for (guint k = 0; k < self->template->pieces->len; k++)
    {
      const Piece *piece = &g_array_index (self->template->pieces, Piece, k);

      if (piece->text == NULL && n == first)
        return translated[k];
      first += piece->text == NULL ? piece->n : 0;
    }
  return "";
}

/* The template as the catalogue has it, filled. */
static char *
fill (const Search *self, char *const *translated)
{
  GString *words = g_string_new (NULL);
  guint next = 0;

  for (const char *at = _ (self->template->english); *at != '\0';)
    {
      gsize plain = strcspn (at, "%");
      const char *end;

      g_string_append_len (words, at, (gssize)plain);
      at += plain;
      if (*at == '\0')
        break;
      end = conversion_end (at);
      if (end[-1] == '%')
        g_string_append_c (words, '%');
      else
        {
          gsize digits = strspn (at + 1, "0123456789");
          guint n = at[1 + digits] == '$' ? (guint)g_ascii_strtoull (at + 1, NULL, 10) - 1 : next++;

          g_string_append (words, part_of (self, translated, n));
        }
      at = end;
    }
  return g_string_free (words, FALSE);
}

/* Takes this way of reading the text if it explains more than the ways before; @rest are the
 * sentences behind it. */
static void
weigh (Search *self, const char *rest)
{
  char *translated[MOST_PIECES] = { NULL };
  guint letters = self->template->letters;

  for (guint k = 0; k < self->template->pieces->len; k++)
    {
      const Piece *piece = &g_array_index (self->template->pieces, Piece, k);
      const Reading *part;

      if (piece->text != NULL)
        continue;
      translated[k] = self->parts[k];
      if (piece->numeric || piece->quoted)
        continue;
      part = read_text (self->reader, self->parts[k]);
      translated[k] = part->words;
      letters += part->letters;
    }
  if (*rest != '\0')
    letters += read_text (self->reader, rest)->letters;
  if (letters < self->best->letters || letters == 0
      || (letters == self->best->letters && self->template->letters >= self->best->outermost))
    return;
  self->best->letters = letters;
  self->best->outermost = self->template->letters;
  g_free (self->best->words);
  self->best->words = fill (self, translated);
  if (*rest != '\0')
    {
      g_autofree char *first = self->best->words;

      self->best->words
          /* Translators: what stands between two sentences */
          = g_strconcat (first, C_ ("between sentences", " "),
                         read_text (self->reader, rest)->words, NULL);
    }
}

static void
match (Search *self, guint at, const char *text)
{
  const GArray *pieces = self->template->pieces;
  const Piece *piece = at < pieces->len ? &g_array_index (pieces, Piece, at) : NULL;
  gboolean only_first; /* a list is read item by item */
  const char *next;

  if (self->reader->steps++ > MOST_STEPS)
    return;
  if (piece == NULL)
    {
      if (*text == '\0')
        weigh (self, text);
      else if (*text == ' ' && text[-1] == '.')
        weigh (self, text + 1);
      return;
    }
  if (piece->text != NULL)
    {
      if (g_str_has_prefix (text, piece->text))
        match (self, at + 1, text + strlen (piece->text));
      return;
    }
  only_first = self->template->letters == 0;
  next = at + 1 < pieces->len ? g_array_index (pieces, Piece, at + 1).text : NULL;
  for (const char *end = next != NULL ? strstr (text, next) : text + strlen (text); end != NULL;
       end = next != NULL && !only_first ? strstr (end + 1, next) : NULL)
    {
      self->parts[at] = g_strndup (text, (gsize)(end - text));
      if (!piece->numeric || is_number (self->parts[at]))
        match (self, at + 1, end);
      g_clear_pointer (&self->parts[at], g_free);
    }
}

/* Do its literals stand in @text at all, one behind the other? */
static gboolean
may_match (const Template *template, const char *text)
{
  for (guint k = 0; k < template->pieces->len; k++)
    {
      const char *literal = g_array_index (template->pieces, Piece, k).text;
      const char *found = literal == NULL                    ? text
                          : k > 0                            ? strstr (text, literal)
                          : g_str_has_prefix (text, literal) ? text
                                                             : NULL;

      if (found == NULL)
        return FALSE;
      text = literal != NULL ? found + strlen (literal) : found;
    }
  return TRUE;
}

static void
reading_free (gpointer data)
{
  Reading *self = data;

  g_free (self->words);
  g_free (self);
}

/* Each text is read once. */
static Reading *
read_text (Reader *reader, const char *text)
{
  Reading *self = g_hash_table_lookup (reader->readings, text);
  const Template *all = all_templates ();
  Search search = { .reader = reader };

  if (self != NULL)
    return self;
  self = g_new (Reading, 1);
  *self = (Reading){ g_strdup (text), 0, 0 };
  g_hash_table_insert (reader->readings, g_strdup (text), self);
  search.best = self;
  for (gsize i = 0; templates[i] != NULL && reader->steps <= MOST_STEPS; i++)
    if (may_match (&all[i], text))
      {
        search.template = &all[i];
        match (&search, 0, text);
      }
  return self;
}

char *
faint_kept_words (const char *english)
{
  Reader reader = { 0 };
  char *words;

  g_return_val_if_fail (english != NULL, NULL);
  reader.readings = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, reading_free);
  words = g_strdup (read_text (&reader, english)->words);
  g_hash_table_unref (reader.readings);
  return words;
}

static char *
replaced (char *text, const char *from, const char *to)
{
  g_auto (GStrv) parts = g_strsplit (text, from, -1);

  g_free (text);
  return g_strjoinv (to, parts);
}

char *
faint_shown_words (const char *english)
{
  return replaced (replaced (faint_kept_words (english), " cm-1", " cm⁻¹"), "E_n", "Eₙ");
}

char *
faint_kept_warnings (const GPtrArray *warnings)
{
  GString *text = g_string_new (NULL);

  for (guint i = 0; warnings != NULL && i < warnings->len; i++)
    {
      const FaintWarning *warning = g_ptr_array_index (warnings, i);
      g_autofree char *words = faint_shown_words (warning->text);

      g_string_append_printf (text, "%s%s", text->len > 0 ? "\n" : "", words);
    }
  return g_string_free (text, FALSE);
}

const char *const *
faint_kept_words_templates (void)
{
  return templates;
}
