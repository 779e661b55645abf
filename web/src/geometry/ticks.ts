// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Round numbers: steps of axes, scale bars, and the places of ticks.

/** The largest of 1, 2, 5 × 10^n that is not above `x`. */
export function roundBelow(x: number): number {
  const power = 10 ** Math.floor(Math.log10(x) + 1e-12);
  const lead = x / power;
  return (lead >= 5 - 1e-9 ? 5 : lead >= 2 - 1e-9 ? 2 : 1) * power;
}

/** Round step that gives at most `most` steps over `span`. */
export function stepFor(span: number, most: number): number {
  const least = span / Math.max(1, most);
  const below = roundBelow(least);
  return below >= least - 1e-12 ? below : [2, 2.5, 2].reduce<number>((s, f) => (s >= least - 1e-12 ? s : s * f), below);
}

export function ticks(low: number, high: number, most: number): number[] {
  const step = stepFor(high - low, most);
  const first = Math.ceil(low / step - 1e-9);
  const last = Math.floor(high / step + 1e-9);
  return Array.from({ length: Math.max(0, last - first + 1) }, (_, i) => (first + i) * step);
}

/** Length of a scale bar in the shown unit, and on the screen: at most `room` points long. */
export function scaleBar(pointsPerMetre: number, metresPerUnit: number, room: number): { units: number; points: number } {
  const perUnit = pointsPerMetre * metresPerUnit;
  const units = roundBelow(room / perUnit);
  return { units, points: units * perUnit };
}
