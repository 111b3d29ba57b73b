/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * State of one window, as an object that notifies.
 */
#include "app/document/session.h"

#include <math.h>
#include <string.h>

/* The narrowest view, relative to the position: some hundred roundings of a double wide. */
#define NARROWEST 1e-13

struct _FaintSession
{
  GObject parent;

  double limit_lower, limit_upper; /* NAN: no data */
  double lower, upper;
  double pointer;
  double origin;
  guint selected;
  GArray *several; /* guint */
  guint axis_unit;
  guint mode;
  guint stage;
};

enum
{
  PROP_SELECTED_ID = 1,
  PROP_AXIS_UNIT,
  PROP_MODE,
  PROP_STAGE,
  PROP_POINTER,
  PROP_ORIGIN,
  N_PROPS
};
static GParamSpec *properties[N_PROPS];

enum
{
  VIEW_CHANGED,
  SELECTION_CHANGED,
  SEVERAL_CHANGED,
  LINE_DRAGGED,
  N_SIGNALS
};
static guint signals[N_SIGNALS];

G_DEFINE_FINAL_TYPE (FaintSession, faint_session, G_TYPE_OBJECT)

/* NAN equals NAN here. */
static gboolean
same (double a, double b)
{
  return a == b || (isnan (a) && isnan (b));
}

static void
replace_double (FaintSession *self, double *field, double value, guint property)
{
  if (same (*field, value))
    return;
  *field = value;
  g_object_notify_by_pspec (G_OBJECT (self), properties[property]);
}

static void
replace_uint (FaintSession *self, guint *field, guint value, guint property)
{
  if (*field == value)
    return;
  *field = value;
  g_object_notify_by_pspec (G_OBJECT (self), properties[property]);
}

static void
take_view (FaintSession *self, double lower, double upper)
{
  if (same (lower, self->lower) && same (upper, self->upper))
    return;
  self->lower = lower;
  self->upper = upper;
  g_signal_emit (self, signals[VIEW_CHANGED], 0);
}

static void
faint_session_get_property (GObject *object, guint id, GValue *value, GParamSpec *pspec)
{
  FaintSession *self = FAINT_SESSION (object);

  switch (id)
    {
    case PROP_SELECTED_ID:
      g_value_set_uint (value, self->selected);
      break;
    case PROP_AXIS_UNIT:
      g_value_set_uint (value, self->axis_unit);
      break;
    case PROP_MODE:
      g_value_set_uint (value, self->mode);
      break;
    case PROP_STAGE:
      g_value_set_uint (value, self->stage);
      break;
    case PROP_POINTER:
      g_value_set_double (value, self->pointer);
      break;
    case PROP_ORIGIN:
      g_value_set_double (value, self->origin);
      break;
    default:
      G_OBJECT_WARN_INVALID_PROPERTY_ID (object, id, pspec);
    }
}

static void
faint_session_set_property (GObject *object, guint id, const GValue *value, GParamSpec *pspec)
{
  FaintSession *self = FAINT_SESSION (object);

  switch (id)
    {
    case PROP_SELECTED_ID:
      faint_session_set_selected (self, g_value_get_uint (value));
      break;
    case PROP_AXIS_UNIT:
      faint_session_set_axis_unit (self, g_value_get_uint (value));
      break;
    case PROP_MODE:
      faint_session_set_mode (self, g_value_get_uint (value));
      break;
    case PROP_STAGE:
      faint_session_set_stage (self, g_value_get_uint (value));
      break;
    case PROP_POINTER:
      faint_session_set_pointer (self, g_value_get_double (value));
      break;
    case PROP_ORIGIN:
      faint_session_set_origin (self, g_value_get_double (value));
      break;
    default:
      G_OBJECT_WARN_INVALID_PROPERTY_ID (object, id, pspec);
    }
}

static GParamSpec *
uint_property (const char *name, guint maximum)
{
  return g_param_spec_uint (name, NULL, NULL, 0, maximum, 0,
                            G_PARAM_READWRITE | G_PARAM_EXPLICIT_NOTIFY | G_PARAM_STATIC_STRINGS);
}

/* No range: a pointer and an origin may be NAN, which a range would refuse. */
static GParamSpec *
wavenumber_property (const char *name)
{
  return g_param_spec_double (name, NULL, NULL, -G_MAXDOUBLE, G_MAXDOUBLE, 0.0,
                              G_PARAM_READWRITE | G_PARAM_EXPLICIT_NOTIFY | G_PARAM_STATIC_STRINGS);
}

static void
faint_session_finalize (GObject *object)
{
  g_array_unref (FAINT_SESSION (object)->several);
  G_OBJECT_CLASS (faint_session_parent_class)->finalize (object);
}

static void
faint_session_class_init (FaintSessionClass *klass)
{
  GObjectClass *object_class = G_OBJECT_CLASS (klass);

  object_class->get_property = faint_session_get_property;
  object_class->set_property = faint_session_set_property;
  object_class->finalize = faint_session_finalize;

  properties[PROP_SELECTED_ID] = uint_property ("selected-id", G_MAXUINT);
  properties[PROP_AXIS_UNIT] = uint_property ("axis-unit", G_MAXUINT);
  properties[PROP_MODE] = uint_property ("mode", FAINT_MODE_ADD);
  properties[PROP_STAGE] = uint_property ("stage", FAINT_N_STAGES - 1);
  properties[PROP_POINTER] = wavenumber_property ("pointer");
  properties[PROP_ORIGIN] = wavenumber_property ("origin");
  g_object_class_install_properties (object_class, N_PROPS, properties);

  signals[VIEW_CHANGED] = g_signal_new ("view-changed", G_TYPE_FROM_CLASS (klass),
                                        G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 0);
  signals[SELECTION_CHANGED]
      = g_signal_new ("selection-changed", G_TYPE_FROM_CLASS (klass), G_SIGNAL_RUN_LAST, 0, NULL,
                      NULL, NULL, G_TYPE_NONE, 0);
  signals[LINE_DRAGGED]
      = g_signal_new ("line-dragged", G_TYPE_FROM_CLASS (klass), G_SIGNAL_RUN_LAST, 0, NULL, NULL,
                      NULL, G_TYPE_NONE, 1, G_TYPE_POINTER);
  signals[SEVERAL_CHANGED] = g_signal_new ("several-changed", G_TYPE_FROM_CLASS (klass),
                                           G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 0);
}

static void
faint_session_init (FaintSession *self)
{
  self->limit_lower = self->limit_upper = NAN;
  self->lower = self->upper = NAN;
  self->pointer = NAN;
  self->origin = NAN;
  self->several = g_array_new (FALSE, FALSE, sizeof (guint));
}

FaintSession *
faint_session_new (void)
{
  return g_object_new (FAINT_TYPE_SESSION, NULL);
}

void
faint_session_set_limits (FaintSession *self, double lower, double upper)
{
  double view_lower = self->lower, view_upper = self->upper;

  g_return_if_fail (FAINT_IS_SESSION (self));
  if (!(lower < upper) || !isfinite (lower) || !isfinite (upper))
    return;
  if (same (lower, self->limit_lower) && same (upper, self->limit_upper))
    return;

  self->limit_lower = lower;
  self->limit_upper = upper;
  if (!(view_lower >= lower && view_upper <= upper))
    view_lower = lower, view_upper = upper;
  self->lower = view_lower;
  self->upper = view_upper;
  g_signal_emit (self, signals[VIEW_CHANGED], 0);
}

void
faint_session_get_limits (FaintSession *self, double *lower, double *upper)
{
  g_return_if_fail (FAINT_IS_SESSION (self));
  *lower = self->limit_lower;
  *upper = self->limit_upper;
}

gboolean
faint_session_has_limits (FaintSession *self)
{
  g_return_val_if_fail (FAINT_IS_SESSION (self), FALSE);
  return !isnan (self->limit_lower);
}

void
faint_session_clear (FaintSession *self)
{
  g_return_if_fail (FAINT_IS_SESSION (self));
  faint_session_set_selected (self, 0);
  faint_session_set_pointer (self, NAN);
  self->limit_lower = self->limit_upper = NAN;
  take_view (self, NAN, NAN);
}

void
faint_session_set_view (FaintSession *self, double lower, double upper)
{
  double width = upper - lower;

  g_return_if_fail (FAINT_IS_SESSION (self));
  if (!faint_session_has_limits (self) || !isfinite (lower) || !isfinite (upper))
    return;
  if (!(width > NARROWEST * self->limit_upper))
    return;

  if (width >= self->limit_upper - self->limit_lower)
    lower = self->limit_lower, upper = self->limit_upper;
  else if (lower < self->limit_lower)
    lower = self->limit_lower, upper = lower + width;
  else if (upper > self->limit_upper)
    upper = self->limit_upper, lower = upper - width;
  take_view (self, lower, upper);
}

void
faint_session_get_view (FaintSession *self, double *lower, double *upper)
{
  g_return_if_fail (FAINT_IS_SESSION (self));
  *lower = self->lower;
  *upper = self->upper;
}

void
faint_session_zoom_at (FaintSession *self, double at, double factor)
{
  g_return_if_fail (FAINT_IS_SESSION (self));
  if (!(factor > 0))
    return;
  faint_session_set_view (self, at - (at - self->lower) / factor, at + (self->upper - at) / factor);
}

void
faint_session_pan (FaintSession *self, double share)
{
  double step;

  g_return_if_fail (FAINT_IS_SESSION (self));
  step = share * (self->upper - self->lower);
  faint_session_set_view (self, self->lower + step, self->upper + step);
}

void
faint_session_reveal (FaintSession *self, double at)
{
  double half;

  g_return_if_fail (FAINT_IS_SESSION (self));
  if (at >= self->lower && at <= self->upper)
    return;
  half = (self->upper - self->lower) / 2;
  faint_session_set_view (self, at - half, at + half);
}

void
faint_session_show_all (FaintSession *self)
{
  g_return_if_fail (FAINT_IS_SESSION (self));
  faint_session_set_view (self, self->limit_lower, self->limit_upper);
}

guint
faint_session_get_selected (FaintSession *self)
{
  g_return_val_if_fail (FAINT_IS_SESSION (self), 0);
  return self->selected;
}

void
faint_session_set_selected (FaintSession *self, guint id)
{
  g_return_if_fail (FAINT_IS_SESSION (self));
  if (self->selected == id)
    return;
  replace_uint (self, &self->selected, id, PROP_SELECTED_ID);
  g_signal_emit (self, signals[SELECTION_CHANGED], 0);
}

const guint *
faint_session_get_several (FaintSession *self, gsize *n)
{
  g_return_val_if_fail (FAINT_IS_SESSION (self), NULL);
  *n = self->several->len;
  return (const guint *)(void *)self->several->data;
}

void
faint_session_set_several (FaintSession *self, const guint *ids, gsize n)
{
  g_return_if_fail (FAINT_IS_SESSION (self));
  if (n == self->several->len
      && (n == 0 || memcmp (ids, self->several->data, n * sizeof *ids) == 0))
    return;
  g_array_set_size (self->several, 0);
  g_array_append_vals (self->several, ids, (guint)n);
  g_signal_emit (self, signals[SEVERAL_CHANGED], 0);
}

void
faint_session_set_dragged (FaintSession *self, gconstpointer line)
{
  g_return_if_fail (FAINT_IS_SESSION (self));
  g_signal_emit (self, signals[LINE_DRAGGED], 0, line);
}

guint
faint_session_get_axis_unit (FaintSession *self)
{
  g_return_val_if_fail (FAINT_IS_SESSION (self), 0);
  return self->axis_unit;
}

void
faint_session_set_axis_unit (FaintSession *self, guint unit)
{
  g_return_if_fail (FAINT_IS_SESSION (self));
  replace_uint (self, &self->axis_unit, unit, PROP_AXIS_UNIT);
}

FaintMode
faint_session_get_mode (FaintSession *self)
{
  g_return_val_if_fail (FAINT_IS_SESSION (self), FAINT_MODE_INSPECT);
  return self->mode;
}

void
faint_session_set_mode (FaintSession *self, FaintMode mode)
{
  g_return_if_fail (FAINT_IS_SESSION (self));
  replace_uint (self, &self->mode, mode, PROP_MODE);
}

FaintStage
faint_session_get_stage (FaintSession *self)
{
  g_return_val_if_fail (FAINT_IS_SESSION (self), FAINT_STAGE_DATA);
  return self->stage;
}

void
faint_session_set_stage (FaintSession *self, FaintStage stage)
{
  g_return_if_fail (FAINT_IS_SESSION (self));
  replace_uint (self, &self->stage, stage, PROP_STAGE);
}

double
faint_session_get_pointer (FaintSession *self)
{
  g_return_val_if_fail (FAINT_IS_SESSION (self), NAN);
  return self->pointer;
}

void
faint_session_set_pointer (FaintSession *self, double wavenumber)
{
  g_return_if_fail (FAINT_IS_SESSION (self));
  replace_double (self, &self->pointer, wavenumber, PROP_POINTER);
}

double
faint_session_get_origin (FaintSession *self)
{
  g_return_val_if_fail (FAINT_IS_SESSION (self), NAN);
  return self->origin;
}

void
faint_session_set_origin (FaintSession *self, double wavenumber)
{
  g_return_if_fail (FAINT_IS_SESSION (self));
  replace_double (self, &self->origin, wavenumber, PROP_ORIGIN);
}
