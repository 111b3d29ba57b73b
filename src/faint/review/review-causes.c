/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Which input of the measurement, with which value, would explain what a list has in common.
 */
#include "faint/review/review-private.h"

#include "faint/base/units.h"
#include "faint/base/words.h"

typedef struct
{
  const FaintReview *review;
  FaintSystematic *finding;
  const FaintSetup *setup;
} Work;

/* In the unit it was stated in. */
static double
in_unit (FaintQuantity quantity, double value, gboolean difference)
{
  const FaintUnit *unit = quantity.unit;

  if (unit == NULL)
    return value;
  return (value - (difference ? 0.0 : unit->offset)) / unit->scale;
}

static const char *
unit_name (FaintQuantity quantity)
{
  return quantity.unit != NULL && quantity.unit->dimension != FAINT_DIMENSION_NUMBER
             ? quantity.unit->name
             : "";
}

static char *
with_unit (double value, double u, const char *unit)
{
  g_autofree char *number = faint_format_concise (value, u);

  return g_strconcat (number, *unit != '\0' ? " " : "", unit, NULL);
}

static char *
describe_cause (const Work *self, const char *name, const FaintSystematicCause *cause,
                const char *unit)
{
  double k = self->review->options.coverage;
  double u = hypot (cause->u_needed, isnan (cause->u) ? 0.0 : cause->u);
  g_autofree char *needed = with_unit (cause->needed, cause->u_needed, unit);
  g_autofree char *stated = with_unit (cause->stated, cause->u, unit);

  if (isnan (cause->u))
    return g_strdup_printf (
        N_ ("The %s would have to be %s; stated is %s, without an uncertainty."), name, needed,
        stated);
  return g_strdup_printf (
      cause->within ? N_ ("The %s would have to be %s; stated is %s, which is %.1f combined "
                          "standard uncertainties away, within %g.")
                    : N_ ("The %s would have to be %s; stated is %s, which is %.1f combined "
                          "standard uncertainties away, beyond %g."),
      name, needed, stated, fabs (cause->needed - cause->stated) / u, k);
}

/* @needed, @u_needed in the library unit. */
static void
add_cause (const Work *self, const char *key, const char *name, FaintQuantity quantity,
           double needed, double u_needed)
{
  FaintSystematicCause *cause = g_new0 (FaintSystematicCause, 1);
  double u;

  cause->key = g_strdup (key);
  cause->stated = in_unit (quantity, quantity.value, FALSE);
  cause->u = in_unit (quantity, quantity.u, TRUE);
  cause->needed = in_unit (quantity, needed, FALSE);
  cause->u_needed = in_unit (quantity, u_needed, TRUE);
  u = hypot (cause->u_needed, isnan (cause->u) ? 0.0 : cause->u);
  cause->within = fabs (cause->needed - cause->stated) <= self->review->options.coverage * u
                  && !isnan (cause->u);
  cause->words = describe_cause (self, name, cause, unit_name (quantity));
  g_ptr_array_add (self->finding->causes, cause);
}

/* Without a value of its own. */
static void
add_remark (const Work *self, const char *key, char *words)
{
  FaintSystematicCause *cause = g_new0 (FaintSystematicCause, 1);

  *cause = (FaintSystematicCause){
    .key = g_strdup (key), .stated = NAN, .u = NAN, .needed = NAN, .u_needed = NAN, .words = words
  };
  g_ptr_array_add (self->finding->causes, cause);
}

/* A quantity that strengths go with as its power @power would be scaled so that the refit's
 * strengths become the claimed ones. */
static void
add_scaled (const Work *self, const char *key, const char *name, FaintQuantity quantity,
            double power)
{
  double needed = quantity.value * exp (self->finding->constant / power);

  if (faint_quantity_is_known (quantity))
    add_cause (self, key, name, quantity, needed,
               needed * self->finding->u_constant / fabs (power));
}

/* Strength times column and enhancement is what a spectrum shows, and the enhancement is the
 * finesse but for 1 - s. */
static void
add_mirrors (const Work *self)
{
  const FaintSetup *setup = self->setup;
  double r = setup->mirror.value;
  double factor = exp (self->finding->constant), u = self->finding->u_constant;

  switch (setup->geometry == FAINT_GEOMETRY_NONE ? FAINT_MIRROR_UNKNOWN : setup->mirror_kind)
    {
    case FAINT_MIRROR_FINESSE:
      add_scaled (self, "finesse", N_ ("finesse"), setup->mirror, -1.0);
      break;
    case FAINT_MIRROR_RING_DOWN_TIME:
      add_scaled (self, "ring_down_time", N_ ("ring-down time"), setup->mirror, -1.0);
      break;
    case FAINT_MIRROR_LINEWIDTH:
      add_scaled (self, "cavity_linewidth", N_ ("cavity linewidth"), setup->mirror, 1.0);
      break;
    case FAINT_MIRROR_REFLECTIVITY: /* 1 - R goes as 1/F */
      add_cause (self, "mirror_reflectivity", N_ ("mirror reflectivity"), setup->mirror,
                 1.0 - (1.0 - r) * factor, (1.0 - r) * factor * u);
      break;
    case FAINT_MIRROR_TABLE:
      {
        g_autofree char *number = faint_format_concise (1.0 / factor, u / factor);
        add_remark (self, "finesse_table",
                    g_strdup_printf (
                        N_ ("The finesse would have to be %s times that of the table."), number));
        break;
      }
    default:
      break;
    }
}

static const char *
pressure_name (const Work *self)
{
  return faint_review_is_series (self->review) ? N_ (
             "pressure of the first spectrum, and those of the others in the same proportion,")
                                               : N_ ("pressure");
}

static void
explain_strength_constant (const Work *self)
{
  const FaintSetup *setup = self->setup;
  FaintQuantity length = faint_quantity_is_known (setup->absorber_length) ? setup->absorber_length
                                                                          : setup->cavity_length;

  add_mirrors (self);
  add_scaled (self, "pressure", pressure_name (self), setup->pressure, -1.0);
  add_scaled (self, "mole_fraction", N_ ("mole fraction"), setup->mole_fraction, -1.0);
  add_scaled (self, "absorber_length", N_ ("absorber length"), length, -1.0);
  add_scaled (self, "temperature", N_ ("temperature that the number density is taken at"),
              setup->temperature, 1.0);
}

static void
explain_strength_depth (const Work *self)
{
  double slope = self->finding->slope;

  add_remark (
      self, "saturation",
      slope < 0.0
          ? g_strdup (N_ ("Deep lines are claimed too faint. Strengths taken from the weak limit "
                          "of the enhancement, without its saturation, come out so: the "
                          "logarithm falls by about the depth. Light that reaches the detector "
                          "beside the cavity does the same."))
          : g_strdup (N_ ("Deep lines are claimed too strong: a zero level that lies too high, "
                          "or a correction for saturation applied twice, makes them so.")));
}

/* ln S(T')/S(T) falls with the lower-state energy by c2 (1/T' - 1/T). */
static void
explain_strength_energy (const Work *self)
{
  FaintQuantity t = self->setup->temperature;
  gboolean given
      = !isnan (self->review->options.temperature) && self->review->options.temperature != t.value;
  double claimed = given ? self->review->options.temperature : t.value;
  double inverse = 1.0 / claimed - self->finding->slope / FAINT_C2_CM_K;
  double u = self->finding->u_slope / FAINT_C2_CM_K;
  double needed = 1.0 / inverse;

  add_cause (self, "temperature", N_ ("temperature of the claimed strengths"),
             (FaintQuantity){ claimed, given ? (double)NAN : t.u, t.unit }, needed,
             needed * needed * u);
}

/* Where mode and tooth lie apart the dispersion of a line moves it. What one standard uncertainty
 * of the detuning does is known from the budget of the refit. */
static void
explain_detuning (const Work *self)
{
  FaintQuantity detuning = self->setup->tooth_detuning;
  double effect = self->finding->effects[FAINT_SOURCE_N + 1 + FAINT_SOURCE_DETUNING];

  if (faint_quantity_is_known (detuning) && detuning.u > 0.0 && effect != 0.0)
    add_cause (self, "tooth_detuning", N_ ("tooth detuning"), detuning,
               detuning.value + detuning.u * self->finding->constant / effect,
               fabs (detuning.u * self->finding->u_constant / effect));
}

static void
explain_offset (const Work *self)
{
  double shift = self->finding->constant * FAINT_SPEED_OF_LIGHT_CM_S;
  double u = self->finding->u_constant * FAINT_SPEED_OF_LIGHT_CM_S;
  double rate = self->setup->repetition_rate.value, teeth = round (shift / rate);

  if (faint_quantity_is_known (self->setup->offset_frequency))
    add_cause (self, "offset_frequency", N_ ("offset frequency"), self->setup->offset_frequency,
               self->setup->offset_frequency.value + shift, u);
  if (isfinite (rate) && teeth != 0.0 && fabs (shift - teeth * rate) <= 3.0 * u)
    add_remark (self, "tooth",
                g_strdup_printf (N_ ("The shift is %g times the repetition rate within its "
                                     "uncertainty: tooth numbers counted wrongly by %g."),
                                 teeth, teeth));
}

static void
explain_repetition_rate (const Work *self)
{
  FaintQuantity rate = self->setup->repetition_rate;
  double place = self->finding->x_mean > 0.0 ? self->finding->x_mean
                 : self->review->compared != NULL
                     ? faint_line_list_get (self->review->compared, 0)->position.value
                     : NAN;
  double relative = self->finding->constant / place;

  if (faint_quantity_is_known (rate))
    add_cause (self, "repetition_rate", N_ ("repetition rate"), rate, rate.value * (1.0 + relative),
               rate.value * self->finding->u_constant / place);
}

/* A slope that is the shift over the position belongs to the repetition rate. */
static void
explain_position_slope (const Work *self)
{
  const FaintSystematic *finding = self->finding;
  double expected = finding->constant / finding->x_mean;

  if (fabs (finding->slope - expected) <= 3.0 * finding->u_slope)
    explain_repetition_rate (self);
  else
    add_remark (self, "axis",
                g_strdup (N_ ("The shift runs with the position but not in proportion to it, as no "
                              "comb makes it: an axis that was interpolated or calibrated.")));
}

static void
explain_width (const Work *self)
{
  FaintQuantity pressure = self->setup->pressure;

  if (!isnan (self->review->options.pressure) && self->review->options.pressure != pressure.value)
    {
      pressure.value = self->review->options.pressure;
      pressure.u = NAN; /* that of the spectrum says nothing of it */
    }
  add_scaled (self, "pressure", N_ ("pressure that the claimed widths belong to"), pressure, 1.0);
  add_remark (
      self, "profile",
      g_strdup (N_ ("A profile of another kind, or a Doppler width from another temperature or "
                    "mass, also scales the Lorentz widths.")));
}

/* Broadening and shift are a width and a distance over the pressure. */
static void
explain_coefficient (const Work *self)
{
  guint c = self->finding->parameter - FAINT_PLACE_N;

  if (self->finding->form != FAINT_SYSTEMATIC_CONSTANT)
    return;
  if (c <= FAINT_COEFFICIENT_BROADENING_MIXTURE)
    add_scaled (self, "pressure", pressure_name (self), self->setup->pressure, -1.0);
  if (c == FAINT_COEFFICIENT_BROADENING_SELF)
    add_scaled (self, "mole_fraction", N_ ("mole fraction"), self->setup->mole_fraction, -1.0);
}

/* An energy is a slope over 1/T: temperatures that lie too near or too far scale all energies. */
static void
explain_energy (const Work *self)
{
  add_remark (
      self, "temperature",
      g_strdup (self->finding->form == FAINT_SYSTEMATIC_ENERGY
                    ? N_ ("Energies that are off in proportion come from temperatures whose "
                          "differences were taken too large or too small.")
                    : N_ ("Energies that are off together come from strengths of one "
                          "temperature that are off together, or from another zero of "
                          "energy.")));
}

static void
explain_form (const Work *self)
{
  const FaintSystematic *finding = self->finding;

  if (finding->parameter == FAINT_COMPARED_LOWER_ENERGY)
    explain_energy (self);
  else if (finding->parameter == FAINT_PLACE_STRENGTH
           || finding->parameter == FAINT_COMPARED_STRENGTH_296)
    {
      if (finding->form == FAINT_SYSTEMATIC_CONSTANT)
        explain_strength_constant (self);
      else if (finding->form == FAINT_SYSTEMATIC_DEPTH)
        explain_strength_depth (self);
      else if (finding->form == FAINT_SYSTEMATIC_ENERGY)
        explain_strength_energy (self);
      else
        add_remark (
            self, "finesse_table",
            g_strdup (N_ ("A finesse that changes over the span, or a baseline, does this.")));
    }
  else if (finding->parameter == FAINT_PLACE_POSITION
           || finding->parameter == FAINT_PLACE_N + FAINT_COEFFICIENT_POSITION_ZERO)
    {
      if (finding->form == FAINT_SYSTEMATIC_CONSTANT)
        {
          explain_offset (self);
          explain_repetition_rate (self);
          explain_detuning (self);
        }
      else
        explain_position_slope (self);
    }
  else if (finding->parameter == FAINT_PLACE_LORENTZ)
    explain_width (self);
  else if (finding->parameter == FAINT_PLACE_DOPPLER)
    add_scaled (self, "temperature", N_ ("temperature"), self->setup->temperature, 0.5);
  else if (finding->parameter >= FAINT_PLACE_N)
    explain_coefficient (self);
}

void
faint_review_explain (const FaintReview *self, FaintSystematic *finding)
{
  const Work work
      = { .review = self, .finding = finding, .setup = faint_analysis_get_setup (self->refit) };

  explain_form (&work);
  finding->words = faint_systematic_describe (finding, N_ ("as claimed"), N_ ("the refit"));
}

static const FaintSystematicCause *
pressure_of (const FaintSystematic *finding)
{
  for (guint i = 0; i < finding->causes->len; i++)
    {
      const FaintSystematicCause *it = g_ptr_array_index (finding->causes, i);

      if (g_strcmp0 (it->key, "pressure") == 0 && isfinite (it->needed))
        return it;
    }
  return NULL;
}

static gboolean
is_broadening (guint parameter)
{
  return parameter >= FAINT_PLACE_N
         && parameter - FAINT_PLACE_N <= FAINT_COEFFICIENT_BROADENING_MIXTURE;
}

static gboolean
is_strength (guint parameter)
{
  return parameter == FAINT_PLACE_STRENGTH || parameter == FAINT_COMPARED_STRENGTH_296;
}

static void
join_pressures (FaintReview *self, FaintSystematic *strength, FaintSystematic *width)
{
  const FaintSystematicCause *a = pressure_of (strength), *b = pressure_of (width);
  const Work of_strength = { .review = self, .finding = strength };
  const Work of_width = { .review = self, .finding = width };

  if (a == NULL || b == NULL
      || fabs (a->needed - b->needed) > 3.0 * hypot (a->u_needed, b->u_needed))
    return;
  add_remark (&of_strength, "pressure",
              g_strdup (N_ ("Broadening and strengths ask for the same pressure within their "
                            "uncertainties, as one wrong reading of it makes them.")));
  add_remark (&of_width, "pressure",
              g_strdup (N_ ("Strengths and broadening ask for the same pressure within their "
                            "uncertainties, as one wrong reading of it makes them.")));
}

void
faint_review_join_causes (FaintReview *self)
{
  for (guint i = 0; i < self->systematic->len; i++)
    for (guint k = 0; k < self->systematic->len; k++)
      {
        FaintSystematic *a = g_ptr_array_index (self->systematic, i);
        FaintSystematic *b = g_ptr_array_index (self->systematic, k);

        if (is_strength (a->parameter) && is_broadening (b->parameter))
          join_pressures (self, a, b);
      }
}
