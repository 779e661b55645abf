// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Units at the edge of the page. Everything inside is SI; this file alone turns SI into what is printed,
// and what a field shows into the text that the job keeps. All factors are exact by definition
// (international foot and pound, 231 in3 gallon, International Table Btu).

export type System = "metric" | "imperial";

const FOOT = 0.3048;
const INCH = FOOT / 12;
const GALLON = 231 * INCH ** 3;
const BTU = 1055.05585262;
const POUND = 0.45359237;
const PSI = (POUND * 9.80665) / INCH ** 2;
const KELVIN_PER_F = 5 / 9;

export type Unit = {
  label: string; // printed behind (or before) a number
  write: string; // as the job reader knows it; "" where the SI number stands alone
  si: number; // SI units in one of these
  zero?: number; // shown value at which the SI value is 0, temperatures only
  prefix?: boolean; // the label stands before the number: R-20
};

const u = (label: string, write: string, si: number): Unit => ({ label, write, si });

const PLAIN = u("", "", 1);
const PERCENT = u("%", "%", 0.01);
const KWH = u("kWh", "kWh", 3.6e6);

type Pair = { metric: Unit; imperial: Unit };

const same = (unit: Unit): Pair => ({ metric: unit, imperial: unit });

export const PAIRS = {
  length: { metric: u("m", "", 1), imperial: u("ft", "ft", FOOT) },
  small_length: { metric: u("mm", "mm", 0.001), imperial: u("in", "in", INCH) },
  area: { metric: u("m²", "", 1), imperial: u("ft²", "ft2", FOOT ** 2) },
  volume: { metric: u("m³", "", 1), imperial: u("ft³", "ft3", FOOT ** 3) },
  liquid: { metric: u("L", "L", 0.001), imperial: u("US gal", "USgal", GALLON) },
  temperature: {
    metric: u("°C", "", 1),
    imperial: { label: "°F", write: "degF", si: KELVIN_PER_F, zero: 32 },
  },
  difference: { metric: u("°C", "", 1), imperial: u("°F", "", KELVIN_PER_F) },
  heat: { metric: u("kW", "kW", 1000), imperial: u("Btu/h", "Btu/h", BTU / 3600) },
  power: same(u("W", "", 1)),
  energy: same(KWH),
  liquid_flow: { metric: u("L/s", "L/s", 0.001), imperial: u("US gpm", "gpm", GALLON / 60) },
  air_flow: { metric: u("L/s", "L/s", 0.001), imperial: u("cfm", "cfm", FOOT ** 3 / 60) },
  conductivity: {
    metric: u("W/(m K)", "", 1),
    imperial: u("Btu/(h ft °F)", "Btu/(h ft degF)", BTU / 3600 / FOOT / KELVIN_PER_F),
  },
  heat_capacity: {
    metric: u("MJ/(m³ K)", "MJ/(m3 K)", 1e6),
    imperial: u("Btu/(ft³ °F)", "Btu/(ft3 degF)", BTU / FOOT ** 3 / KELVIN_PER_F),
  },
  insulation: {
    metric: { label: "RSI", write: "RSI", si: 1, prefix: true },
    imperial: { label: "R", write: "R", si: (3600 * FOOT ** 2 * KELVIN_PER_F) / BTU, prefix: true },
  },
  pressure: { metric: u("kPa", "kPa", 1000), imperial: u("psi", "psi", PSI) },
  mass: { metric: u("kg", "", 1), imperial: u("lb", "lb", POUND) },
  angle: same(u("°", "", 1)),
  per_length: { metric: u("W/m", "", 1), imperial: u("Btu/h per ft", "", BTU / 3600 / FOOT) },
  per_area: { metric: u("W/m²", "", 1), imperial: u("Btu/h per ft²", "", BTU / 3600 / FOOT ** 2) },
  days: same(u("days", "day", 86400)),
  share: same(PERCENT),
  plain: same(PLAIN),
} satisfies Record<string, Pair>;

export type Quantity = keyof typeof PAIRS;

const BY_SI: Record<string, Quantity> = {
  m: "length",
  m2: "area",
  m3: "volume",
  degC: "temperature",
  K: "difference",
  W: "heat",
  J: "energy",
  "m3/s": "liquid_flow",
  "W/m/K": "conductivity",
  "J/m3/K": "heat_capacity",
  "m2.K/W": "insulation",
  Pa: "pressure",
  degree: "angle",
  "1": "plain",
  "W/m": "per_length",
  "W/m2": "per_area",
  kg: "mass",
  s: "days",
};

const SMALL = /^(diameter_m|shank_m|outer_diameter_m|wall_m)$/;
const ELECTRIC = /(^power_w|blower|circulator|internal_gain|standby)/;

/** What a key of the job or a verdict measures, by its SI unit and its name. */
export function quantityOf(siUnit: string | undefined, key = ""): Quantity {
  if (siUnit === undefined || siUnit === "1") {
    return key.endsWith("_frac") || key.startsWith("share_") ? "share" : "plain";
  }
  if (siUnit === "m" && SMALL.test(key)) {
    return "small_length";
  }
  if (siUnit === "W" && ELECTRIC.test(key)) {
    return "power";
  }
  if (key === "daily_volume_m3") {
    return "liquid";
  }
  if (key === "ventilation_m3_s") {
    return "air_flow";
  }
  return BY_SI[siUnit] ?? "plain";
}

export function unitOf(quantity: Quantity, system: System): Unit {
  return PAIRS[quantity][system];
}

export function fromSi(si: number, unit: Unit): number {
  return si / unit.si + (unit.zero ?? 0);
}

export function toSi(shown: number, unit: Unit): number {
  return (shown - (unit.zero ?? 0)) * unit.si;
}

/** Decimals that carry about three figures: 1234, 123, 12.3, 1.23. */
export function decimalsFor(value: number): number {
  const size = Math.abs(value);
  if (size >= 100 || size === 0) {
    return 0;
  }
  return size >= 10 ? 1 : size >= 0.1 ? 2 : 3;
}

export function printNumber(value: number, decimals = decimalsFor(value)): string {
  if (!Number.isFinite(value)) {
    return "not known";
  }
  const text = value.toLocaleString("en", { minimumFractionDigits: decimals, maximumFractionDigits: decimals });
  return /^-0(\.0*)?$/.test(text) ? text.slice(1) : text.replace("-", "\u2212");
}

const FIXED: Partial<Record<Quantity, number>> = { temperature: 1, difference: 1, share: 0, pressure: 1 };

/** "113 m", "R-20", "−2.0 °C": a quantity as printed, with its unit and a space that does not break. */
export function printQuantity(si: number, quantity: Quantity, system: System, decimals?: number): string {
  const unit = unitOf(quantity, system);
  const value = fromSi(si, unit);
  const number = printNumber(value, decimals ?? FIXED[quantity] ?? decimalsFor(value));
  if (unit.prefix === true) {
    return unit.label === "R" ? `R-${number}` : `${unit.label} ${number}`;
  }
  if (unit.label === "" || number === "not known") {
    return number;
  }
  return unit.label === "°" || unit.label === "%" ? `${number}${unit.label}` : `${number}\u00a0${unit.label}`;
}

export function printMoney(cents: number, currency: string): string {
  const whole = Math.round(Math.abs(cents) / 100).toLocaleString("en");
  const sign = cents < 0 ? "\u2212" : "";
  return currency.length === 1 ? `${sign}${currency}${whole}` : `${sign}${whole}\u00a0${currency}`;
}

/** Few enough digits to read in a field; what is not retyped is kept as it was written. */
export function trimNumber(value: number): string {
  return String(Number(value.toPrecision(5)));
}

/** The text that a field shows for an SI value. */
export function fieldText(si: number, unit: Unit): string {
  return trimNumber(fromSi(si, unit));
}

/** What the job keeps for what was typed: a bare number gets the unit shown beside the field. */
export function fieldValue(typed: string, unit: Unit): string | number | undefined {
  const text = typed.trim();
  if (text === "") {
    return undefined;
  }
  const bare = /^[+\-\u2212]?(\d+([.,]\d*)?|[.,]\d+)(e[+-]?\d+)?$/i.test(text);
  if (!bare) {
    return text;
  }
  const number = Number(text.replace(",", ".").replace("\u2212", "-"));
  if (unit.write === "") {
    return unit.si === 1 && unit.zero === undefined ? number : toSi(number, unit);
  }
  return unit.prefix === true ? (unit.write === "R" ? `R-${number}` : `RSI ${number}`) : `${number} ${unit.write}`;
}

const READ: Record<string, number> = {
  m: 1,
  cm: 0.01,
  mm: 0.001,
  km: 1000,
  ft: FOOT,
  feet: FOOT,
  foot: FOOT,
  "'": FOOT,
  in: INCH,
  inch: INCH,
  inches: INCH,
  '"': INCH,
  yd: 3 * FOOT,
  m2: 1,
  ft2: FOOT ** 2,
  sqft: FOOT ** 2,
  m3: 1,
  ft3: FOOT ** 3,
  L: 0.001,
  l: 0.001,
  USgal: GALLON,
  gal: GALLON,
  gallon: GALLON,
  K: 1,
  W: 1,
  kW: 1000,
  "Btu/h": BTU / 3600,
  Btuh: BTU / 3600,
  ton: (12000 * BTU) / 3600,
  tons: (12000 * BTU) / 3600,
  gpm: GALLON / 60,
  USgpm: GALLON / 60,
  cfm: FOOT ** 3 / 60,
  "L/s": 0.001,
  "m3/s": 1,
  "%": 0.01,
  kPa: 1000,
  Pa: 1,
  psi: PSI,
  bar: 1e5,
  "W/(m K)": 1,
  "W/m/K": 1,
  "Btu/(h ft degF)": BTU / 3600 / FOOT / KELVIN_PER_F,
  "MJ/(m3 K)": 1e6,
  "Btu/(ft3 degF)": BTU / FOOT ** 3 / KELVIN_PER_F,
  degC: 1,
  C: 1,
  "°C": 1,
  degree: 1,
  deg: 1,
  "°": 1,
};

function readPart(text: string): number | null {
  const match = /^([+-]?(?:\d+\.?\d*|\.\d+)(?:e[+-]?\d+)?)\s*(.*)$/i.exec(text.trim());
  if (match === null || match[1] === undefined) {
    return null;
  }
  const number = Number(match[1]);
  const name = (match[2] ?? "").trim().replace("²", "2").replace("³", "3");
  if (name === "") {
    return number;
  }
  if (name === "degF" || name === "F" || name === "°F") {
    return (number - 32) * KELVIN_PER_F;
  }
  const factor = READ[name];
  return factor === undefined ? null : number * factor;
}

/**
 * SI value of a quantity as a job may hold it, for showing it again in other units and for drawing;
 * null when this page does not know the unit (the program knows many more, and has the last word).
 */
export function readQuantity(value: unknown): number | null {
  if (typeof value === "number") {
    return Number.isFinite(value) ? value : null;
  }
  if (typeof value !== "string") {
    return null;
  }
  const text = value.trim().replace("\u2212", "-");
  const rated = /^(R|RSI)[\s-]*(\d+\.?\d*)$/i.exec(text);
  if (rated !== null) {
    const number = Number(rated[2]);
    return rated[1]?.toUpperCase() === "RSI" ? number : number * PAIRS.insulation.imperial.si;
  }
  const two = /^(\d+\.?\d*)\s*((?:ft|feet)\s+|'\s*)(\d+\.?\d*)\s*(in|inch|inches|")?$/.exec(text);
  if (two !== null) {
    return Number(two[1]) * FOOT + Number(two[3]) * INCH;
  }
  return readPart(text);
}
