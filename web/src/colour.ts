// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// The colours of water temperature: one straight line in OKLab from deep blue to pale amber, so that equal
// steps of temperature are equal steps of lightness (readable without colour vision, and in grey print).
// OKLab: Bjoern Ottosson, "A perceptual color space for image processing" (2020), matrices as published.

type Lab = readonly [number, number, number];

const COLD: Lab = [0.36, -0.01, -0.115];
const MIDDLE: Lab = [0.63, -0.02, -0.01];
const WARM: Lab = [0.88, 0.015, 0.125];

function gamma(x: number): number {
  const clipped = Math.min(1, Math.max(0, x));
  return clipped <= 0.0031308 ? 12.92 * clipped : 1.055 * clipped ** (1 / 2.4) - 0.055;
}

export function rgbFromOklab([light, a, b]: Lab): [number, number, number] {
  const l = (light + 0.3963377774 * a + 0.2158037573 * b) ** 3;
  const m = (light - 0.1055613458 * a - 0.0638541728 * b) ** 3;
  const s = (light - 0.0894841775 * a - 1.291485548 * b) ** 3;
  return [
    gamma(4.0767416621 * l - 3.3077115913 * m + 0.2309699292 * s),
    gamma(-1.2684380046 * l + 2.6097574011 * m - 0.3413193965 * s),
    gamma(-0.0041960863 * l - 0.7034186147 * m + 1.707614701 * s),
  ];
}

const DARK_COLD_LIGHT = 0.52; // on a dark sheet the cold end is lifted, so that it stands off the ground
const DARK_WARM_LIGHT = 0.92;

/** The colour at `part` (0 coldest to 1 warmest) of the sequence, for a light or a dark sheet. */
export function sequenceAt(part: number, dark = false): Lab {
  const t = Math.min(1, Math.max(0, part));
  const [from, to, f] = t < 0.5 ? [COLD, MIDDLE, t * 2] : [MIDDLE, WARM, t * 2 - 1];
  const mix = (i: 0 | 1 | 2): number => from[i] + (to[i] - from[i]) * f;
  const [low, high] = dark ? [DARK_COLD_LIGHT, DARK_WARM_LIGHT] : [COLD[0], WARM[0]];
  const light = low + (high - low) * t;
  return [light, mix(1), mix(2)];
}

export function colourAt(part: number, dark = false): string {
  const [r, g, b] = rgbFromOklab(sequenceAt(part, dark)).map((x) => Math.round(x * 255));
  return `rgb(${r} ${g} ${b})`;
}

export type TemperatureScale = { low_degc: number; high_degc: number };

/** A scale in whole steps of 5 °C that holds both ends. */
export function scaleFor(least_degc: number, greatest_degc: number): TemperatureScale {
  const low = Math.floor(Math.min(least_degc, -0.01) / 5) * 5;
  const high = Math.max(low + 5, Math.ceil(greatest_degc / 5) * 5 + 0);
  return { low_degc: low, high_degc: high };
}

export function temperatureColour(degc: number, scale: TemperatureScale, dark = false): string {
  return colourAt((degc - scale.low_degc) / (scale.high_degc - scale.low_degc), dark);
}
