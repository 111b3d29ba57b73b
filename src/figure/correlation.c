/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "figure/correlation.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define LARGEST_SIDE 64.0  /* of a cell, times the canvas' scale */
#define SMALLEST_FONT 0.72 /* of the canvas' font, before labels are left out */
#define LEAST_SHOWN 0.0005 /* smaller ones read 0.000 */
#define MARK_FROM 0.1      /* correlations below this have no sign in their cell */
#define MARK_SIDE 7.0      /* cells below this have none either, times the canvas' scale */

typedef struct
{
  const char *symbol; /* static, or the word in the name */
  gsize group;        /* index of the first parameter of the line */
  int rank;           /* of the symbol; -1: unknown */
  char *line;         /* "7790.220" */
} Label;

struct _FaintCorrelation
{
  gsize n, n_groups;
  double *matrix;
  char **names;
  Label *labels;
};

/* As faint_fit_correlation() names them. */
static const struct
{
  const char *word, *symbol;
} symbols[] = {
  { "position", "ν" },
  { "strength", "S" },
  { "Lorentz width", "γL" },
  { "Doppler width", "γD" },
  { "speed width", "Γ₂" },
  { "speed shift", "Δ₂" },
  { "velocity changing", "νVC" },
  { "correlation", "η" },
};

static Label
label_of (const char *name)
{
  const char *blank = strchr (name, ' ');
  Label label = { .symbol = blank ? blank + 1 : name, .rank = -1 };

  label.line = blank ? g_strndup (name, (gsize)(blank - name)) : g_strdup ("");
  for (guint i = 0; i < G_N_ELEMENTS (symbols); i++)
    if (g_str_equal (label.symbol, symbols[i].word))
      {
        label.symbol = symbols[i].symbol;
        label.rank = (int)i;
        break;
      }
  return label;
}

/* Another line begins where the position is another, or the order of the parameters begins anew. */
static void
group_labels (FaintCorrelation *self)
{
  for (gsize i = 0; i < self->n; i++)
    {
      Label *label = &self->labels[i], *last = i > 0 ? label - 1 : NULL;

      if (last && g_str_equal (label->line, last->line) && label->rank > last->rank)
        label->group = last->group;
      else
        {
          label->group = i;
          self->n_groups++;
        }
    }
}

FaintCorrelation *
faint_correlation_new (double *matrix, char **names, gsize n)
{
  FaintCorrelation *self = g_new0 (FaintCorrelation, 1);

  self->n = n;
  self->matrix = matrix;
  self->names = names;
  self->labels = g_new0 (Label, n);
  for (gsize i = 0; i < n; i++)
    self->labels[i] = label_of (names[i]);
  group_labels (self);
  return self;
}

void
faint_correlation_free (FaintCorrelation *self)
{
  if (self == NULL)
    return;
  for (gsize i = 0; i < self->n; i++)
    g_free (self->labels[i].line);
  g_free (self->labels);
  g_free (self->matrix);
  g_strfreev (self->names);
  g_free (self);
}

gsize
faint_correlation_get_n (const FaintCorrelation *self)
{
  return self->n;
}

double
faint_correlation_get (const FaintCorrelation *self, gsize row, gsize column)
{
  g_return_val_if_fail (row < self->n && column < self->n, NAN);
  return self->matrix[row * self->n + column];
}

const char *
faint_correlation_get_name (const FaintCorrelation *self, gsize index)
{
  g_return_val_if_fail (index < self->n, "");
  return self->names[index];
}

const char *
faint_correlation_get_symbol (const FaintCorrelation *self, gsize index)
{
  g_return_val_if_fail (index < self->n, "");
  return self->labels[index].symbol;
}

gsize
faint_correlation_get_group (const FaintCorrelation *self, gsize index)
{
  g_return_val_if_fail (index < self->n, 0);
  return self->labels[index].group;
}

static int
stronger (const void *a, const void *b)
{
  const FaintCorrelationPair *x = a, *y = b;
  double p = fabs (x->value), q = fabs (y->value);

  if (p != q)
    return p < q ? 1 : -1;
  if (x->row != y->row)
    return x->row < y->row ? -1 : 1;
  return (x->column > y->column) - (x->column < y->column);
}

gsize
faint_correlation_strongest (const FaintCorrelation *self, FaintCorrelationPair *pairs, gsize most)
{
  g_autofree FaintCorrelationPair *all
      = g_new (FaintCorrelationPair, self->n * (self->n + 1) / 2 + 1);
  gsize n = 0;

  for (gsize i = 0; i < self->n; i++)
    for (gsize j = i + 1; j < self->n; j++)
      if (fabs (faint_correlation_get (self, i, j)) >= LEAST_SHOWN)
        all[n++] = (FaintCorrelationPair){ i, j, faint_correlation_get (self, i, j) };
  qsort (all, n, sizeof *all, stronger);
  n = MIN (n, most);
  memcpy (pairs, all, n * sizeof *all);
  return n;
}

static FaintColour
rgb (guint code)
{
  return (FaintColour){ (code >> 16 & 0xff) / 255.0, (code >> 8 & 0xff) / 255.0,
                        (code & 0xff) / 255.0, 1.0 };
}

/* The ends of the scale, hues of Okabe and Ito (2008): always one light, one dark against the
 * background, both 3 to 1 against it with high contrast. */
static FaintColour
end_of_scale (const FaintPalette *palette, gboolean negative)
{
  if (palette == faint_palette_get (FAINT_PALETTE_HIGH_CONTRAST))
    return rgb (negative ? 0x003a5c : 0xd55e00);
  if (palette == faint_palette_get (FAINT_PALETTE_HIGH_CONTRAST_DARK))
    return rgb (negative ? 0x56b4e9 : 0xf0e442);
  if (palette == faint_palette_get (FAINT_PALETTE_DARK))
    return rgb (negative ? 0x56b4e9 : 0xd55e00);
  return rgb (negative ? 0x0072b2 : 0xe69f00);
}

FaintColour
faint_correlation_colour (const FaintPalette *palette, double value)
{
  FaintColour from = palette->pen[FAINT_PART_BACKGROUND].colour;
  FaintColour to = end_of_scale (palette, value < 0);
  double share = isfinite (value) ? MIN (fabs (value), 1.0) : 0.0;

  return (FaintColour){ from.red + share * (to.red - from.red),
                        from.green + share * (to.green - from.green),
                        from.blue + share * (to.blue - from.blue), 1.0 };
}

/* A canvas whose font is @factor times that of @canvas. Free the font. */
static FaintCanvas
with_font (const FaintCanvas *canvas, double factor, PangoFontDescription **font)
{
  FaintCanvas scaled = *canvas;
  int size;

  *font = canvas->font ? pango_font_description_copy (canvas->font)
                       : pango_font_description_from_string ("Sans 9");
  size = (int)lround (factor * pango_font_description_get_size (*font));
  if (pango_font_description_get_size_is_absolute (*font))
    pango_font_description_set_absolute_size (*font, size);
  else
    pango_font_description_set_size (*font, size);
  scaled.font = *font;
  return scaled;
}

typedef struct
{
  double height;       /* of a line of text */
  double symbol, line; /* widest of both kinds of labels */
  double number;       /* of the scale */
} Sizes;

static Sizes
measure (const FaintCorrelation *self, const FaintCanvas *canvas)
{
  Sizes sizes = { .height = faint_canvas_text_height (canvas),
                  .number = faint_canvas_text_width (canvas, "−0.5") };

  for (gsize i = 0; i < self->n; i++)
    {
      sizes.symbol = MAX (sizes.symbol, faint_canvas_text_width (canvas, self->labels[i].symbol));
      if (self->labels[i].group == i)
        sizes.line = MAX (sizes.line, faint_canvas_text_width (canvas, self->labels[i].line));
    }
  return sizes;
}

/* Lengths beside the cells: labels at the left and, as long, at the top; the scale at the right. */
static double
margin (const Sizes *sizes, double factor, gboolean with_symbols)
{
  double gap = 0.5 * sizes->height;

  return gap + factor * (sizes->line + (with_symbols ? sizes->symbol + gap : 0.0));
}

static double
side_of (const FaintCorrelation *self, const FaintCanvas *canvas, FaintRect place, double before,
         double after)
{
  double across = place.width - before - after, up = place.height - before;
  double side = MIN (across, up) / (double)MAX (self->n, 1);

  side = CLAMP (side, 0.0, LARGEST_SIDE * MAX (canvas->scale, 0.5));
  /* whole pixels, so that all cells look alike */
  return canvas->snap && side >= 2 ? floor (side / canvas->column) * canvas->column : side;
}

void
faint_correlation_layout (const FaintCorrelation *self, const FaintCanvas *canvas, FaintRect place,
                          FaintCorrelationLayout *layout)
{
  Sizes sizes = measure (self, canvas);
  double after = 2.5 * sizes.height + sizes.number, before, span;

  layout->symbols = TRUE;
  layout->font = 1.0;
  before = margin (&sizes, 1.0, TRUE);
  layout->side = side_of (self, canvas, place, before, after);
  if (layout->side < sizes.height)
    {
      layout->font = CLAMP (layout->side / sizes.height, SMALLEST_FONT, 1.0);
      before = margin (&sizes, layout->font, TRUE);
      layout->side = side_of (self, canvas, place, before, after);
    }
  if (layout->side < SMALLEST_FONT * sizes.height)
    {
      layout->symbols = FALSE;
      before = margin (&sizes, layout->font, FALSE);
      layout->side = side_of (self, canvas, place, before, after);
    }
  span = layout->side * (double)self->n;
  layout->cells = (FaintRect){ place.x + before, place.y + before, span, span };
  layout->scale = (FaintRect){ place.x + before + span + sizes.height, place.y + before,
                               0.8 * sizes.height, MIN (span, 14 * sizes.height) };
  if (layout->scale.height < 4 * sizes.height)
    layout->scale.height = 0;
  /* the narrowest line has side at least */
  span = layout->side * (double)self->n / (double)MAX (self->n_groups, 1);
  layout->label_step = (gsize)MAX (ceil (layout->font * sizes.height / MAX (span, 1e-9)), 1.0);
}

FaintRect
faint_correlation_cell (const FaintCorrelationLayout *layout, gsize row, gsize column)
{
  return (FaintRect){ layout->cells.x + (double)column * layout->side,
                      layout->cells.y + (double)row * layout->side, layout->side, layout->side };
}

gboolean
faint_correlation_cell_at (const FaintCorrelation *self, const FaintCorrelationLayout *layout,
                           double x, double y, gsize *row, gsize *column)
{
  double across = (x - layout->cells.x) / layout->side;
  double down = (y - layout->cells.y) / layout->side;

  if (!(layout->side > 0) || across < 0 || down < 0 || across >= (double)self->n
      || down >= (double)self->n)
    return FALSE;
  *row = (gsize)down;
  *column = (gsize)across;
  return TRUE;
}

/* The colour of text, or that of the background, whichever stands out. */
static void
set_colour_over (const FaintCanvas *canvas, FaintColour ground)
{
  FaintColour text = canvas->palette->pen[FAINT_PART_TEXT].colour;
  FaintColour paper = canvas->palette->pen[FAINT_PART_BACKGROUND].colour;

  faint_colour_set (
      canvas->cr,
      faint_colour_contrast (text, ground) >= faint_colour_contrast (paper, ground) ? text : paper);
}

static void
draw_sign (const FaintCanvas *canvas, FaintRect cell, double value)
{
  double x = cell.x + cell.width / 2, y = cell.y + cell.height / 2, arm = 0.22 * cell.width;

  if (!(fabs (value) >= MARK_FROM) || cell.width < MARK_SIDE * canvas->scale)
    return;
  if (canvas->snap)
    {
      x = faint_canvas_snap (canvas, x);
      y = faint_canvas_snap (canvas, y);
    }
  set_colour_over (canvas, faint_correlation_colour (canvas->palette, value));
  cairo_set_line_width (canvas->cr, canvas->scale);
  cairo_set_dash (canvas->cr, NULL, 0, 0);
  cairo_move_to (canvas->cr, x - arm, y);
  cairo_line_to (canvas->cr, x + arm, y);
  if (value > 0)
    {
      cairo_move_to (canvas->cr, x, y - arm);
      cairo_line_to (canvas->cr, x, y + arm);
    }
  cairo_stroke (canvas->cr);
}

static void
draw_cells (const FaintCorrelation *self, const FaintCanvas *canvas,
            const FaintCorrelationLayout *layout)
{
  double gap = layout->side >= MARK_SIDE * canvas->scale ? canvas->scale : 0.0;

  for (gsize row = 0; row < self->n; row++)
    for (gsize column = 0; column < self->n; column++)
      {
        FaintRect cell = faint_correlation_cell (layout, row, column);
        double value = faint_correlation_get (self, row, column);

        if (row == column)
          faint_colour_set (canvas->cr, canvas->palette->pen[FAINT_PART_GRID].colour);
        else
          faint_colour_set (canvas->cr, faint_correlation_colour (canvas->palette, value));
        cairo_rectangle (canvas->cr, cell.x, cell.y, cell.width - gap, cell.height - gap);
        cairo_fill (canvas->cr);
        if (row != column)
          draw_sign (canvas, cell, value);
      }
}

static void
draw_line (const FaintCanvas *canvas, double x0, double y0, double x1, double y1)
{
  cairo_move_to (canvas->cr, x0, y0);
  cairo_line_to (canvas->cr, x1, y1);
  cairo_stroke (canvas->cr);
}

/* A frame, and borders between the lines. */
static void
draw_borders (const FaintCorrelation *self, const FaintCanvas *canvas,
              const FaintCorrelationLayout *layout)
{
  FaintRect cells = layout->cells;
  double shift = canvas->snap ? canvas->column / 2 : 0.0;

  faint_canvas_pen (canvas, FAINT_PART_AXIS);
  for (gsize i = 0; i <= self->n; i++)
    {
      double at = (double)i * layout->side - shift;

      if (i < self->n && self->labels[i].group != i)
        continue;
      draw_line (canvas, cells.x, cells.y + at, cells.x + cells.width, cells.y + at);
      draw_line (canvas, cells.x + at, cells.y, cells.x + at, cells.y + cells.height);
    }
}

/* Above @y, upwards where it is wider than @room. */
static void
draw_above (const FaintCanvas *canvas, FaintPart part, const char *text, double x, double y,
            double room)
{
  double width = faint_canvas_text_width (canvas, text);

  if (width + 0.5 * faint_canvas_text_height (canvas) <= room)
    faint_canvas_text (canvas, part, text, x, y, 0.5, 1);
  else
    faint_canvas_text_upwards (canvas, part, text, x, y - width / 2);
}

static void
draw_labels (const FaintCorrelation *self, const FaintCanvas *canvas,
             const FaintCorrelationLayout *layout)
{
  FaintRect cells = layout->cells;
  double gap = 0.25 * faint_canvas_text_height (canvas), beyond = gap;
  gsize group = 0;

  for (gsize i = 0; layout->symbols && i < self->n; i++)
    {
      double at = ((double)i + 0.5) * layout->side;
      const char *symbol = self->labels[i].symbol;
      double width = faint_canvas_text_width (canvas, symbol);

      beyond = MAX (beyond, width + 3 * gap);
      faint_canvas_text (canvas, FAINT_PART_TEXT_DIM, symbol, cells.x - gap, cells.y + at, 1, 0.5);
      draw_above (canvas, FAINT_PART_TEXT_DIM, symbol, cells.x + at, cells.y - gap, layout->side);
    }
  for (gsize i = 0; i < self->n; i++)
    {
      gsize end = i + 1;
      double at;

      if (self->labels[i].group != i)
        continue;
      while (end < self->n && self->labels[end].group == i)
        end++;
      if (group++ % layout->label_step != 0)
        continue;
      at = (double)(i + end) / 2 * layout->side;
      faint_canvas_text (canvas, FAINT_PART_TEXT, self->labels[i].line, cells.x - beyond,
                         cells.y + at, 1, 0.5);
      draw_above (canvas, FAINT_PART_TEXT, self->labels[i].line, cells.x + at, cells.y - beyond,
                  (double)(end - i) * layout->side);
    }
}

/* From 1 at the top to -1. */
static void
draw_scale (const FaintCanvas *canvas, FaintRect bar)
{
  static const char *const numbers[] = { "1", "0.5", "0", "−0.5", "−1" };
  double steps = MAX (bar.height / MAX (canvas->column, 0.5), 2);
  double gap = 0.4 * bar.width;

  if (!(bar.height > 0))
    return;
  for (int i = 0; i < (int)steps; i++)
    {
      faint_colour_set (canvas->cr,
                        faint_correlation_colour (canvas->palette, 1 - 2 * (i + 0.5) / steps));
      cairo_rectangle (canvas->cr, bar.x, bar.y + i * bar.height / steps, bar.width,
                       1.5 * bar.height / steps);
      cairo_fill (canvas->cr);
    }
  faint_canvas_pen (canvas, FAINT_PART_AXIS);
  cairo_rectangle (canvas->cr, faint_canvas_snap (canvas, bar.x), faint_canvas_snap (canvas, bar.y),
                   bar.width, bar.height);
  cairo_stroke (canvas->cr);
  for (guint i = 0; i < G_N_ELEMENTS (numbers); i++)
    {
      double share = i / (double)(G_N_ELEMENTS (numbers) - 1);

      faint_canvas_text (canvas, FAINT_PART_TEXT, numbers[i], bar.x + bar.width + gap,
                         bar.y + share * bar.height, 0, share);
    }
}

void
faint_correlation_draw (const FaintCorrelation *self, const FaintCanvas *canvas, FaintRect place)
{
  FaintCorrelationLayout layout;
  PangoFontDescription *font;
  FaintCanvas labels;

  faint_correlation_layout (self, canvas, place, &layout);
  faint_canvas_clip (canvas, place);
  draw_cells (self, canvas, &layout);
  draw_borders (self, canvas, &layout);
  draw_scale (canvas, layout.scale);
  labels = with_font (canvas, layout.font, &font);
  draw_labels (self, &labels, &layout);
  pango_font_description_free (font);
  cairo_restore (canvas->cr);
}

void
faint_correlation_mark (const FaintCorrelation *self, const FaintCanvas *canvas, FaintRect place,
                        gsize row, gsize column)
{
  FaintCorrelationLayout layout;
  FaintRect cell;

  g_return_if_fail (row < self->n && column < self->n);
  faint_correlation_layout (self, canvas, place, &layout);
  cell = faint_correlation_cell (&layout, row, column);
  faint_canvas_clip (canvas, place);
  faint_canvas_pen (canvas, FAINT_PART_SELECTION);
  draw_line (canvas, layout.cells.x, cell.y + cell.height / 2, cell.x, cell.y + cell.height / 2);
  draw_line (canvas, cell.x + cell.width / 2, layout.cells.y, cell.x + cell.width / 2, cell.y);
  cairo_set_line_width (canvas->cr, 2 * canvas->scale);
  cairo_rectangle (canvas->cr, cell.x, cell.y, cell.width, cell.height);
  cairo_stroke (canvas->cr);
  cairo_restore (canvas->cr);
}
