/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Parts of the scenes in these tests.
 */
#pragma once

/* Lines of the scenes below. The Lorentz widths are large enough that the integral converges. */
#define ROWS                                                                                       \
  "# columns = position/cm-1 strength/(cm/molecule) lorentz_hwhm/cm-1 lower_energy/cm-1 upper "    \
  "lower\n"                                                                                        \
  "7790.0200 5.1e-25 0.0023 12.5 up lo\n"                                                          \
  "7790.0710 2.3e-25 0.0031 - - lo2\n"

#define GAS                                                                                        \
  "# temperature = 296.15 K\n# pressure = 1.3 hPa\n# mole_fraction = 0.8\n"                        \
  "# molar_mass = 44.0011 g/mol\n"
#define COMB                                                                                       \
  "# repetition_rate = 250 MHz\n# offset_frequency = 20 MHz\n# first_tooth = 934152\n"             \
  "# teeth = 24\n"

/* Without gas lines, but for "# teeth = N". */
#define EMPTY                                                                                      \
  "# scene 1\n" GAS "# repetition_rate = 250 MHz\n# offset_frequency = 20 MHz\n"                   \
  "# cavity = standing-wave\n# cavity_length = 60 cm\n# finesse = 12000\n"                         \
  "# first_tooth = 930001\n"
