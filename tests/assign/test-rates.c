/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * How many lines of simulated bands get the right labels from lower levels alone, 30 % of the lines
 * missing, 20 % spurious, positions with a noise of 1e-4 cm-1: kinds of bands that molecules have,
 * with upper states drawn at random. Constants that have no source beside them are from memory or
 * invented. FAINTLINE_BANDS in the environment sets how many bands of each kind are drawn.
 */
#include "band-scene.h"

#include "faint-test.h"

#include <gsl/gsl_errno.h>
#include <math.h>
#include <string.h>

static guint
bands_to_draw (guint usual)
{
  const char *text = g_getenv ("FAINTLINE_BANDS");

  return text != NULL ? (guint)g_ascii_strtoull (text, NULL, 10) : usual;
}

typedef struct
{
  const char *name;
  FaintConstants *lower;
  BandScene scene;
  double low_b, high_b;       /* B' - B'' as a share of B'', drawn evenly */
  double low_axis, high_axis; /* the same of the axis constant */
  double d;                   /* D' within this share of D'' */
  double right, wrong;        /* shares that must and may be */
} Kind;

static void
draw (Kind *it, GRand *random, guint32 seed)
{
  double *shift = it->scene.shift;
  const double *lower = it->lower->value[0];

  it->scene.seed = seed;
  shift[FAINT_CONSTANT_B]
      = lower[FAINT_CONSTANT_B] * g_rand_double_range (random, it->low_b, it->high_b);
  shift[FAINT_CONSTANT_D] = lower[FAINT_CONSTANT_D] * g_rand_double_range (random, -it->d, it->d);
  if (it->high_axis > it->low_axis)
    shift[FAINT_CONSTANT_AXIS]
        = lower[FAINT_CONSTANT_AXIS] * g_rand_double_range (random, it->low_axis, it->high_axis);
}

static FaintAssignment *
assign (const FaintLineList *list, FaintLevels *levels, gboolean unlabelled)
{
  FaintAssignmentOptions options;
  GError *error = NULL;
  FaintAssignment *assignment;

  faint_assignment_options_init (&options, levels);
  options.unlabelled = unlabelled;
  assignment = faint_assignment_run (list, levels, &options, NULL, &error);
  g_assert_no_error (error);
  return assignment;
}

static void
add (BandScore *sum, BandScore one)
{
  sum->present += one.present;
  sum->right += one.right;
  sum->wrong += one.wrong;
  sum->spurious += one.spurious;
  sum->spurious_taken += one.spurious_taken;
}

static void
run (Kind *it, guint n)
{
  g_autoptr (FaintLevels) levels = faint_levels_new (it->lower, NULL);
  g_autoptr (GRand) random = g_rand_new_with_seed (1066);
  BandScore sum = { 0 };
  double least = 1.0;

  g_assert_nonnull (levels);
  for (guint i = 0; i < n; i++)
    {
      g_autoptr (FaintLineList) list = NULL;
      g_autoptr (FaintAssignment) assignment = NULL;
      BandScore one;

      draw (it, random, i + 1);
      list = band_scene_lines (&it->scene, levels);
      assignment = assign (list, levels, FALSE);
      one = band_score (list, assignment);
      least = fmin (least, (double)one.right / one.present);
      add (&sum, one);
    }
  g_test_message ("%s: %u bands, %u lines present, %.2f %% right (worst band %.1f %%), %.2f %% "
                  "wrong; %u of %u spurious lines taken",
                  it->name, n, sum.present, 100.0 * sum.right / sum.present, 100.0 * least,
                  100.0 * sum.wrong / sum.present, sum.spurious_taken, sum.spurious);
  g_assert_cmpfloat (sum.right, >=, it->right * sum.present);
  g_assert_cmpfloat (sum.wrong, <=, it->wrong * sum.present);
  faint_constants_free (it->lower);
}

/* All lines of two lists; "g" before what those of the first are, "h" before the others. */
static FaintLineList *
join (const FaintLineList *one, const FaintLineList *two)
{
  const FaintLineList *lists[] = { one, two };
  g_autoptr (GArray) lines = g_array_new (FALSE, FALSE, sizeof (FaintLine));

  for (guint k = 0; k < 2; k++)
    for (gsize i = 0; i < faint_line_list_get_n (lists[k]); i++)
      {
        FaintLine line = *faint_line_list_get (lists[k], i);
        g_autofree char *remark = g_strdup_printf ("%c%s", "gh"[k], line.remark);

        line.id = lines->len + 1;
        line.remark = g_intern_string (*line.remark != '\0' ? remark : "");
        g_array_append_val (lines, line);
      }
  return faint_line_list_new ((const FaintLine *)lines->data, lines->len);
}

/* Of the lines with @mark; any label given to another line is wrong. */
static BandScore
score_of_part (const FaintLineList *list, const FaintAssignment *assignment, char mark)
{
  BandScore score = { 0 };

  for (gsize i = 0; i < faint_line_list_get_n (list); i++)
    {
      const FaintLine *line = faint_line_list_get (list, i);
      const FaintAssigned *it = faint_assignment_find (assignment, line->id);
      g_autofree char *said = it != NULL ? g_strdup_printf ("%c%u %d %d", mark, it->line.ladder,
                                                            it->line.j, (int)it->line.branch)
                                         : NULL;

      score.present += *line->remark == mark;
      score.right += said != NULL && strcmp (said, line->remark) == 0;
      score.wrong += said != NULL && strcmp (said, line->remark) != 0;
    }
  return score;
}

static Kind
kind (const char *name, FaintConstants *lower, double origin)
{
  Kind it = { .name = name,
              .lower = lower,
              .low_b = -0.03,
              .high_b = 0.01,
              .d = 0.05,
              .right = 0.95,
              .wrong = 0.01 };

  band_scene_init (&it.scene);
  it.scene.origin = origin;
  return it;
}

static void
test_linear (void)
{
  Kind it = kind ("nitrous oxide", band_nitrous_oxide (), 7808.35);

  it.scene.j_max = 50;
  run (&it, bands_to_draw (20));
}

static void
test_linear_positions (void)
{
  Kind it = kind ("nitrous oxide, positions alone", band_nitrous_oxide (), 7808.35);

  it.scene.strengths = FALSE;
  run (&it, bands_to_draw (20));
}

/* A cold or weak band: J up to 20 alone. */
static void
test_linear_short (void)
{
  Kind it = kind ("nitrous oxide, J to 20", band_nitrous_oxide (), 7808.35);

  it.scene.j_max = 20;
  run (&it, bands_to_draw (20));
}

/* 16O is a boson: even J alone. Constants of Rothman and Young, JQSRT 25, 505 (1981). */
static void
test_even (void)
{
  FaintConstants *lower = faint_constants_new ();
  Kind it = kind ("carbon dioxide, even J", lower, 6347.85);

  lower->value[0][FAINT_CONSTANT_B] = 0.39021894;
  lower->value[0][FAINT_CONSTANT_D] = 1.33373e-7;
  lower->spin_odd = 0.0;
  it.scene.j_max = 50;
  run (&it, bands_to_draw (10));
}

/* 1:3 alternation of 12C2H2; B and D of Kabbadj et al., J. Mol. Spectrosc. 150, 535 (1991), from
 * memory. */
static void
test_alternation (void)
{
  FaintConstants *lower = faint_constants_new ();
  Kind it = kind ("acetylene, 1:3", lower, 6556.46);

  lower->value[0][FAINT_CONSTANT_B] = 1.1766464;
  lower->value[0][FAINT_CONSTANT_D] = 1.627e-6;
  lower->spin_odd = 3.0;
  it.scene.j_max = 28;
  run (&it, bands_to_draw (10));
}

/* Hydrogen cyanide's lower state, about. The f levels have Q lines alone. */
static void
test_pi_sigma (void)
{
  FaintConstants *lower = faint_constants_new ();
  Kind it = kind ("Pi-Sigma with Q branch", lower, 4900.0);

  lower->value[0][FAINT_CONSTANT_B] = 1.47822;
  lower->value[0][FAINT_CONSTANT_D] = 2.91e-6;
  lower->upper_l = 1;
  it.scene.shift[FAINT_CONSTANT_Q] = 7.5e-3;
  it.scene.j_max = 26;
  run (&it, bands_to_draw (10));
}

/* The bending state of nitrous oxide, about: e and f levels, Q lines. */
static void
test_pi_pi (void)
{
  FaintConstants *lower = band_nitrous_oxide ();
  Kind it = kind ("Pi-Pi with l-type doubling", lower, 7600.0);

  lower->l = lower->upper_l = 1;
  lower->value[0][FAINT_CONSTANT_B] = 0.41957;
  lower->value[0][FAINT_CONSTANT_Q] = 7.92e-4;
  it.scene.shift[FAINT_CONSTANT_Q] = 5e-5;
  it.scene.weakest = 2e-3;
  run (&it, bands_to_draw (10));
}

/* A hot band among the lines of the band from the ground state: the first search labels the one, a
 * second one with the levels of the bending state the other, and neither takes the other's. */
static void
test_hot_band (void)
{
  g_autoptr (FaintConstants) ground = band_nitrous_oxide ();
  g_autoptr (FaintConstants) bend = band_nitrous_oxide ();
  g_autoptr (FaintLevels) levels = faint_levels_new (ground, NULL);
  g_autoptr (FaintLevels) bend_levels = NULL;
  BandScore cold = { 0 }, hot = { 0 };

  bend->l = bend->upper_l = 1;
  g_free (bend->state);
  bend->state = g_strdup ("b");
  bend->value[0][FAINT_CONSTANT_B] = 0.41957;
  bend->value[0][FAINT_CONSTANT_Q] = 7.92e-4;
  bend->value[0][FAINT_CONSTANT_ORIGIN] = 588.77;
  bend_levels = faint_levels_new (bend, NULL);
  for (guint i = 0; i < bands_to_draw (5); i++)
    {
      g_autoptr (FaintLineList) one = NULL;
      g_autoptr (FaintLineList) two = NULL;
      g_autoptr (FaintLineList) both = NULL;
      g_autoptr (FaintLineList) labelled = NULL;
      g_autoptr (FaintAssignment) first = NULL;
      g_autoptr (FaintAssignment) second = NULL;
      BandScene scene;

      band_scene_init (&scene);
      scene.seed = i + 1;
      scene.shift[FAINT_CONSTANT_B] = -0.0034 - 3e-4 * i;
      one = band_scene_lines (&scene, levels);
      scene.seed = i + 100;
      scene.origin += 588.77 - 3.1 - i;
      scene.weakest = 2e-3;
      two = band_scene_lines (&scene, bend_levels);
      both = join (one, two);
      first = assign (both, levels, FALSE);
      labelled = faint_assignment_label (first, both);
      second = assign (labelled, bend_levels, TRUE);
      add (&cold, score_of_part (both, first, 'g'));
      add (&hot, score_of_part (both, second, 'h'));
    }
  g_test_message ("band and hot band in one list: %.2f and %.2f %% right, %.2f and %.2f %% wrong",
                  100.0 * cold.right / cold.present, 100.0 * hot.right / hot.present,
                  100.0 * cold.wrong / cold.present, 100.0 * hot.wrong / hot.present);
  g_assert_cmpfloat (cold.right, >=, 0.95 * cold.present);
  g_assert_cmpfloat (cold.wrong, <=, 0.01 * cold.present);
  g_assert_cmpfloat (hot.right, >=, 0.95 * hot.present);
  g_assert_cmpfloat (hot.wrong, <=, 0.01 * hot.present);
}

static Kind
top (const char *name, FaintConstants *lower, double origin)
{
  Kind it = kind (name, lower, origin);

  it.scene.j_max = 35;
  it.scene.weakest = 0.01;
  it.low_b = -0.01;
  it.high_b = 0.002;
  it.low_axis = -0.008;
  it.high_axis = 0.002;
  it.right = 0.90;
  it.wrong = 0.02;
  return it;
}

static void
test_prolate (void)
{
  Kind it = top ("prolate, parallel", band_invented_top (), 6000.0);

  run (&it, bands_to_draw (2));
}

static void
test_prolate_perpendicular (void)
{
  FaintConstants *lower = band_invented_top ();
  Kind it = top ("prolate, perpendicular", lower, 6000.0);

  lower->perpendicular = TRUE;
  it.scene.weakest = 0.04;
  it.scene.shift[FAINT_CONSTANT_AXIS_ZETA] = 0.3;
  run (&it, bands_to_draw (1));
}

/* Invented, like a heavy oblate top. */
static void
test_oblate (void)
{
  FaintConstants *lower = band_invented_top ();
  Kind it = top ("oblate, parallel", lower, 6000.0);

  lower->value[0][FAINT_CONSTANT_B] = 0.6;
  lower->value[0][FAINT_CONSTANT_AXIS] = 0.33;
  lower->value[0][FAINT_CONSTANT_D] = 4e-7;
  lower->value[0][FAINT_CONSTANT_D_JK] = -6e-7;
  lower->value[0][FAINT_CONSTANT_D_K] = 3e-7;
  it.scene.weakest = 0.05;
  run (&it, bands_to_draw (2));
}

/* Like ammonia: two components, and at K = 0 one of them at each J. */
static FaintConstants *
ammonia (void)
{
  FaintConstants *lower = faint_constants_new ();

  lower->molecule = FAINT_MOLECULE_SYMMETRIC_TOP;
  lower->inverting = TRUE;
  for (int set = 0; set < 2; set++)
    {
      double *value = lower->value[set];

      value[FAINT_CONSTANT_ORIGIN] = set ? 0.793 : 0.0;
      value[FAINT_CONSTANT_B] = set ? 9.9415 : 9.9466;
      value[FAINT_CONSTANT_AXIS] = set ? 6.2293 : 6.2275;
      value[FAINT_CONSTANT_D] = set ? 8.3e-4 : 8.5e-4;
      value[FAINT_CONSTANT_D_JK] = set ? -1.53e-3 : -1.58e-3;
      value[FAINT_CONSTANT_D_K] = set ? 8.8e-4 : 9.1e-4;
    }
  lower->spin_k0_even = 0.0;
  lower->spin_k0_odd = 12.0;
  lower->spin_k3n = 12.0;
  lower->spin_other = 6.0;
  lower->j_max = 14;
  lower->k_max = 12;
  return lower;
}

static void
test_ammonia (void)
{
  Kind it = top ("inverting, parallel", ammonia (), 6600.0);

  it.scene.j_max = 12;
  it.scene.weakest = 1e-3;
  run (&it, bands_to_draw (2));
}

static void
test_ammonia_perpendicular (void)
{
  FaintConstants *lower = ammonia ();
  Kind it = top ("inverting, perpendicular", lower, 6600.0);

  lower->perpendicular = TRUE;
  it.scene.shift[FAINT_CONSTANT_AXIS_ZETA] = 0.3;
  it.scene.j_max = 12;
  it.scene.weakest = 1e-3;
  run (&it, bands_to_draw (2));
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  gsl_set_error_handler_off ();
  g_test_add_func ("/assign/rates/linear", test_linear);
  g_test_add_func ("/assign/rates/linear-positions", test_linear_positions);
  g_test_add_func ("/assign/rates/linear-short", test_linear_short);
  g_test_add_func ("/assign/rates/even", test_even);
  g_test_add_func ("/assign/rates/alternation", test_alternation);
  g_test_add_func ("/assign/rates/pi-sigma", test_pi_sigma);
  g_test_add_func ("/assign/rates/pi-pi", test_pi_pi);
  g_test_add_func ("/assign/rates/hot-band", test_hot_band);
  g_test_add_func ("/assign/rates/prolate", test_prolate);
  g_test_add_func ("/assign/rates/prolate-perpendicular", test_prolate_perpendicular);
  g_test_add_func ("/assign/rates/oblate", test_oblate);
  g_test_add_func ("/assign/rates/inverting", test_ammonia);
  g_test_add_func ("/assign/rates/inverting-perpendicular", test_ammonia_perpendicular);
  return g_test_run ();
}
