/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What this person likes, kept between runs. Where the schema is not installed the values live in
 * memory, with the same defaults.
 */
#pragma once

#include <gio/gio.h>

G_BEGIN_DECLS

typedef struct _FaintSettings FaintSettings;

FaintSettings *faint_settings_new (void);
void faint_settings_free (FaintSettings *self);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (FaintSettings, faint_settings_free)

/* Keys as in org.faintline.Faintline.gschema.xml; an unknown key is a programmer's mistake. */
int faint_settings_get_int (FaintSettings *self, const char *key);
void faint_settings_set_int (FaintSettings *self, const char *key, int value);
gboolean faint_settings_get_boolean (FaintSettings *self, const char *key);
void faint_settings_set_boolean (FaintSettings *self, const char *key, gboolean value);
char *faint_settings_get_string (FaintSettings *self, const char *key); /* free with g_free */
void faint_settings_set_string (FaintSettings *self, const char *key, const char *value);

G_END_DECLS
