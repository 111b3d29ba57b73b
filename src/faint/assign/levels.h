/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Levels of a lower state: from constants of a linear molecule or a symmetric top, or from a table
 * that the user made, so that any molecule can be worked on. Constant once made.
 *
 * A stack is a ladder of levels in J that differ in nothing else: one K, one parity, one component
 * of an inversion. With x = J(J+1), in cm-1:
 *   linear:         F = origin + B x - D x^2 + H x^3 -+ (q x + q_D x^2)/2, upper sign for e;
 *                   x - l^2 in the place of x with "subtract_l = yes"
 *   symmetric top:  F = origin + B x + (axis - B) K^2 - D x^2 - D_JK x K^2 - D_K K^4 + H x^3
 *                   - 2 (axis zeta) k l
 *                   where axis is A of a prolate top and C of an oblate one; an inverting top has
 *                   two components, s and a, with a set of constants each.
 * (Herzberg, Molecular Spectra and Molecular Structure II, 1945, chapter IV.)
 */
#pragma once

#include <glib.h>

#define FAINT_LEVELS_ERROR (faint_levels_error_quark ())
GQuark faint_levels_error_quark (void);
typedef enum
{
  FAINT_LEVELS_ERROR_FILE,  /* cannot be read, or is not what a file of levels says */
  FAINT_LEVELS_ERROR_VALUE, /* constants that give no levels */
} FaintLevelsError;

typedef enum
{
  FAINT_MOLECULE_LINEAR,
  FAINT_MOLECULE_SYMMETRIC_TOP,
  FAINT_MOLECULE_TABLE, /* levels from a table: no constants */
} FaintMolecule;

typedef enum
{
  FAINT_CONSTANT_ORIGIN,
  FAINT_CONSTANT_B,
  FAINT_CONSTANT_D, /* D_J of a top */
  FAINT_CONSTANT_H,
  FAINT_CONSTANT_AXIS, /* A or C */
  FAINT_CONSTANT_D_JK,
  FAINT_CONSTANT_D_K,
  FAINT_CONSTANT_AXIS_ZETA, /* the product A zeta or C zeta */
  FAINT_CONSTANT_Q,
  FAINT_CONSTANT_Q_D,
  FAINT_CONSTANT_N
} FaintConstant;
/* "origin", "B", "D", "H", "axis", "D_JK", "D_K", "axis_zeta", "q", "q_D": keys of a file. */
const char *faint_constant_name (FaintConstant constant);

/* Component of a state: which parity, or which side of an inversion. */
typedef enum
{
  FAINT_COMPONENT_NONE,
  FAINT_COMPONENT_E,
  FAINT_COMPONENT_F,
  FAINT_COMPONENT_S, /* symmetric to inversion: the lower one, 0+ */
  FAINT_COMPONENT_A,
} FaintComponent;
/* "", "e", "f", "s", "a". */
const char *faint_component_name (FaintComponent component);

/* What tells one level of a state from another. */
typedef struct
{
  guint j, k;
  int kl; /* k times l: +k or -k in a degenerate state of a top, else 0 */
  FaintComponent component;
} FaintQuantumNumbers;

/* A state and what the selection rules need of the band that begins in it. */
typedef struct
{
  FaintMolecule molecule;
  char *state, *upper_state;         /* names before labels, "" for none */
  double value[2][FAINT_CONSTANT_N]; /* [1]: of component a; else equal to [0] */
  double u[2][FAINT_CONSTANT_N];     /* standard uncertainties, 0 where not stated */
  guint l, upper_l;                  /* vibrational angular momentum */
  gboolean subtract_l;               /* x - l^2 */
  gboolean inverting;                /* components s and a */
  gboolean perpendicular;            /* the band: delta K or delta l = +-1 */
  double spin_even, spin_odd;        /* linear: weights of even and odd J (of e levels) */
  double spin_k0_even, spin_k0_odd;  /* top, K = 0, of component s or none; swapped for a */
  double spin_k3n, spin_other;       /* top, K a multiple of 3, or not; both signs together */
  guint j_max, k_max;
} FaintConstants;
/* A linear molecule with all constants 0, weights 1, j_max 100. */
FaintConstants *faint_constants_new (void);
FaintConstants *faint_constants_copy (const FaintConstants *self);
void faint_constants_free (FaintConstants *self);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (FaintConstants, faint_constants_free)

/* How a constant enters a level: F is the sum of these times the constants. */
double faint_constants_coefficient (const FaintConstants *self, FaintConstant constant,
                                    const FaintQuantumNumbers *numbers, guint l);
/* F, cm-1, with the constants in @value. */
double faint_constants_term (const FaintConstants *self, const FaintQuantumNumbers *numbers);

typedef struct
{
  FaintQuantumNumbers numbers;
  guint stack;
  double energy, u; /* cm-1 */
  double weight;    /* of nuclear spin; the level's degeneracy is weight (2J+1) */
  char *label;
} FaintLevel;

typedef struct
{
  char *name; /* for messages and tables: "e", "K 3 s"; "" where there is but one */
  guint k;
  FaintComponent component;
  guint j_max;
  int *at; /* index of the level with J, 0 to j_max, or -1 */
  /* What a smooth ladder through its energies has: F = origin + B x - D x^2. */
  double origin, b, d;
} FaintStack;

typedef struct _FaintLevels FaintLevels;

/* Levels of @constants, which is copied. */
FaintLevels *faint_levels_new (const FaintConstants *constants, GError **error);
/* A file of constants ("# molecule = linear", "# B = 0.419 cm-1", ...) or a table of levels
 * ("# columns = energy/cm-1 J label", rows); docs/formats.md describes both. */
FaintLevels *faint_levels_read (const char *path, GError **error);
FaintLevels *faint_levels_ref (FaintLevels *self);
void faint_levels_unref (FaintLevels *self);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (FaintLevels, faint_levels_unref)

/* What the levels were made from; of a table the band's facts alone. */
const FaintConstants *faint_levels_get_constants (const FaintLevels *self);
guint faint_levels_get_n (const FaintLevels *self);
const FaintLevel *faint_levels_get (const FaintLevels *self, guint index);
guint faint_levels_get_n_stacks (const FaintLevels *self);
const FaintStack *faint_levels_get_stack (const FaintLevels *self, guint index);
/* The level of @stack with @j, or NULL. */
const FaintLevel *faint_levels_at (const FaintLevels *self, int stack, int j);
/* The level with this label, or NULL. */
const FaintLevel *faint_levels_find (const FaintLevels *self, const char *label);

/* Standard uncertainty of the difference of two levels: of constants, the common ones cancel. */
double
faint_levels_u_difference (const FaintLevels *self, const FaintLevel *one, const FaintLevel *other);
/* Sum of weight (2J+1) exp(-c2 E/T) over all levels. */
double faint_levels_sum (const FaintLevels *self, double temperature);

/* "J12e", "b:J12e", "J12 K3 s": the label of a level of @state. Free with g_free. */
char *
faint_level_label (const char *state, FaintMolecule molecule, const FaintQuantumNumbers *numbers);
