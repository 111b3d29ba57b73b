/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The axis that a session shows, complete for conversions: for plots, table and panes alike.
 */
#pragma once

#include "app/document/session.h"
#include "faint/spectrum/setup.h"
#include "figure/axis-unit.h"

G_BEGIN_DECLS

/* Numbers of teeth need the repetition rate that @setup (may be NULL) states: without it the axis
 * is in cm-1. */
FaintAxisUnit faint_session_axis (FaintSession *session, const FaintSetup *setup);

G_END_DECLS
