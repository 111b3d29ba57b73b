/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What a spectrum's header says of the measurement: gas, comb, cavity. Only what was stated;
 * computing from it is the business of cavity/ and strength/. One table of keys serves the
 * readers, the writers, the analysis file, the command line and the window.
 *
 * A setup is filled once and then shared: take faint_setup_copy() to change it.
 */
#pragma once

#include "faint/base/quantity.h"

#define FAINT_SETUP_ERROR (faint_setup_error_quark ())
GQuark faint_setup_error_quark (void);
typedef enum
{
  FAINT_SETUP_ERROR_KEY,     /* no such key */
  FAINT_SETUP_ERROR_VALUE,   /* the value cannot be read or lies outside what is possible */
  FAINT_SETUP_ERROR_MISSING, /* a quantity that is needed is not stated */
} FaintSetupError;

typedef enum
{
  FAINT_OBSERVABLE_POWER,     /* |E/E0|^2 */
  FAINT_OBSERVABLE_AMPLITUDE, /* |E/E0| */
  FAINT_OBSERVABLE_FIELD,     /* E/E0, two numbers a tooth */
} FaintObservable;

typedef enum
{
  FAINT_GEOMETRY_STANDING_WAVE,
  FAINT_GEOMETRY_RING,
  FAINT_GEOMETRY_NONE, /* single pass */
} FaintGeometry;

typedef enum
{
  FAINT_COUPLING_LOCKED,
  FAINT_COUPLING_SWEPT,
} FaintCoupling;

/* By which face of the finesse the mirrors are described. */
typedef enum
{
  FAINT_MIRROR_UNKNOWN,
  FAINT_MIRROR_FINESSE,        /* 1 */
  FAINT_MIRROR_REFLECTIVITY,   /* power, mean of the two mirrors, sqrt(R1 R2) */
  FAINT_MIRROR_RING_DOWN_TIME, /* s, 1/e of power */
  FAINT_MIRROR_LINEWIDTH,      /* Hz, FWHM */
  FAINT_MIRROR_TABLE,          /* finesse over the span */
} FaintMirrorKind;

/* Both ends belong to it. */
typedef struct
{
  double lower, upper; /* cm-1 */
} FaintSetupRange;

typedef struct
{
  char *title;
  FaintObservable observable;
  /* gas */
  FaintQuantity temperature;   /* K */
  FaintQuantity pressure;      /* Pa */
  FaintQuantity mole_fraction; /* of the absorbing species; 1 */
  FaintQuantity abundance;  /* key isotopic_abundance: of the isotopologue, where strengths are to
                               refer to the pure one; 1 when not stated */
  FaintQuantity molar_mass; /* g/mol */
  FaintQuantity recording_time; /* s */
  char *partition_sums;         /* file of Q(T), path as resolved by the reader; NULL: none */
  /* comb */
  FaintQuantity repetition_rate;  /* Hz */
  FaintQuantity offset_frequency; /* Hz */
  /* cavity */
  FaintGeometry geometry; /* key cavity */
  gboolean geometry_stated;
  FaintCoupling coupling;
  FaintQuantity cavity_length;   /* cm: mirror spacing, or a ring's round trip, or the path of a
                                    single pass */
  FaintQuantity absorber_length; /* cm, same sense; unknown means all of cavity_length */
  FaintMirrorKind mirror_kind;
  FaintQuantity mirror;         /* of mirror_kind; unknown for a table */
  char *finesse_table;          /* path as resolved by the reader, or NULL */
  GArray *table_wavenumber;     /* double, cm-1, rising; with mirror_kind TABLE */
  GArray *table_finesse;        /* double */
  GArray *table_u;              /* double, standard uncertainties or NAN */
  FaintQuantity output_share;   /* of the round trip's absorber, the part between input and output
                                   coupler;   unknown means 1/2 */
  FaintQuantity tooth_detuning; /* Hz, tooth minus mode at the span's centre; unknown means 0 */
  FaintQuantity tooth_detuning_slope; /* 1 (Hz/Hz); unknown means 0 */
  /* teeth that no fit uses */
  GArray *excluded; /* FaintSetupRange, rising and apart; NULL: none. Replaced, never changed. */
  /* what this version does not know */
  GPtrArray *other_keys; /* char *, "key = value", in the order read */
  gatomicrefcount refs;
} FaintSetup;

FaintSetup *faint_setup_new (void);
FaintSetup *faint_setup_copy (const FaintSetup *self);
FaintSetup *faint_setup_ref (FaintSetup *self);
void faint_setup_unref (FaintSetup *self);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (FaintSetup, faint_setup_unref)

/* The keys that a header may hold, in the order in which they are written. */
typedef enum
{
  FAINT_SETUP_KIND_QUANTITY,
  FAINT_SETUP_KIND_CHOICE,
  FAINT_SETUP_KIND_TEXT,
  FAINT_SETUP_KIND_FILE,
  FAINT_SETUP_KIND_RANGES, /* "7790.10..7790.12, 7791.5..7791.6 cm-1" */
} FaintSetupKind;
typedef struct
{
  const char *key; /* "temperature" */
  FaintSetupKind kind;
  FaintDimension dimension; /* of a quantity */
  const char *choices;      /* of a choice: words joined by '|' */
  const char *meaning;      /* a few words for messages and tooltips */
} FaintSetupKey;
const FaintSetupKey *faint_setup_keys (gsize *n);
const FaintSetupKey *faint_setup_key_find (const char *key);

/* Sets what @key says: "temperature", "u(temperature)", "cavity", "finesse_table" and so on; for
 * the dependent keys of the mirrors the last one set decides mirror_kind. A file is resolved
 * against @folder (NULL: the current one) and read at once. Checks the range: temperature,
 * pressure, masses and lengths above 0, fractions in (0, 1], finesse above 1 and at most 1e9,
 * reflectivity in (0, 1). An empty @text takes the key back to not stated. A value without an
 * uncertainty of its own keeps the one stated before, so that u(key) may come first.
 * FAINT_SETUP_ERROR_KEY for an unknown key (the caller decides what to do with it). */
gboolean faint_setup_set (FaintSetup *self, const char *key, const char *text, const char *folder,
                          GError **error);

/* The ranges as the text of key excluded; "" for none. Free with g_free. */
char *faint_setup_ranges_to_text (const GArray *ranges);
/* Ranges from text; an empty one gives an empty array. NULL and an error that says what is wrong
 * and what was expected. Overlapping ones become one. */
GArray *faint_setup_ranges_parse (const char *text, GError **error);

/* What faint_setup_set() would read back, or NULL where nothing is stated. Free with g_free. */
char *faint_setup_get (const FaintSetup *self, const char *key);

/* Checks that all is stated that strengths need: temperature, pressure, mole_fraction, molar_mass,
 * the cavity and its mirrors and length (or the path of a single pass); that the absorber is not
 * longer than the cavity, and a swept coupling is not asked for a field or a single pass.
 * FAINT_SETUP_ERROR_MISSING names every missing key at once and how to give it. */
gboolean faint_setup_check (const FaintSetup *self, GError **error);

/* The finesse table's file: two or three columns "wavenumber/cm-1 finesse [u(finesse)]" with one
 * "# columns = " line. Used by faint_setup_set. */
