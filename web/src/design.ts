// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Shape of the design document, as the program writes it. SI units by suffix, money in cents.

export type State = "holds" | "caution" | "fails";

export type Verdict = {
  state: State;
  what: string;
  unit: string;
  found: number | null;
  at_least?: number | null;
  at_most?: number | null;
  because: string | null;
};

export type Moment = { degc: number; year: number; hour_of_year: number };
export type Range = { low_cents: number; typical_cents: number; high_cents: number };
export type MonthRow = [mean: number, least: number, greatest: number];
export type Line = [number, number, number, number, number, number];

export type BorePlan = {
  kind: "bores";
  count: number;
  depth_m: number;
  top_m: number;
  diameter_m: number;
  spacing_m: number;
  header_m: number;
};
export type TrenchPlan = {
  kind: "trench";
  count: number;
  length_m: number;
  spacing_m: number;
  depth_m: number;
  width_m: number;
  pipes: number;
  header_m: number;
};
export type CoilPlan = {
  kind: "coil";
  count: number;
  length_m: number;
  spacing_m: number;
  depth_m: number;
  width_m: number;
  ring_diameter_m: number;
  pitch_m: number;
  rings: number;
  lie: "flat" | "upright";
  header_m: number;
};
export type PondPlan = {
  kind: "pond";
  count: number;
  bundle_m: number;
  area_m2: number;
  depth_m: number;
  coil_depth_m: number;
  spacing_m: number;
  header_m: number;
};
export type WellPlan = {
  kind: "well";
  count: number;
  depth_m: number;
  pump_depth_m: number;
  static_level_m: number;
  water_degc: number;
  yield_m3_s: number;
  return_distance_m: number;
  return_to: "well" | "surface";
  header_m: number;
};
export type MixedPlan = { kind: "mixed"; count: number; header_m: number; parts: (BorePlan | TrenchPlan | CoilPlan)[] };
export type Plan = BorePlan | TrenchPlan | CoilPlan | PondPlan | WellPlan | MixedPlan;
export type DigPlan = TrenchPlan | CoilPlan;

/** Trenches with straight pipes, or with rings of pipe in them. */
export function isDig(plan: Plan): plan is DigPlan {
  return plan.kind === "trench" || plan.kind === "coil";
}

export type Energy = {
  heating_j: number;
  hot_water_j: number;
  cooling_j: number;
  ground_j: number;
  compressor_j: number;
  blower_j: number;
  circulator_j: number;
  auxiliary_j: number;
  heating_electricity_j: number;
  cooling_electricity_j: number;
  unmet_j: number;
  run_hours: number;
};

export type EstimateLine = {
  key: string;
  what: string;
  quantity: number;
  unit: string;
  amount: Range;
  origin: string | null;
  price_source: string | null;
};

export type Loop = {
  name: string;
  stands: boolean;
  plan: Plan;
  length_m: number;
  land_length_m: number;
  land_width_m: number;
  lines_m: Line[];
  entering_water: {
    coldest: Moment;
    warmest: Moment;
    coldest_first_year: Moment;
    coldest_last_year: Moment;
    coldest_week_degc: number;
    coldest_leaving_degc: number;
    first_month: number;
    months_mean_least_greatest_degc: MonthRow[];
  };
  ground: {
    conductivity_w_mk: number;
    volumetric_heat_j_m3k: number;
    undisturbed_degc: number;
    resistance_mk_w: number;
    handbook_length_m: number | null;
    handbook?: string | null;
  };
  first_year: Energy;
  last_year: Energy;
  heating_spf: number;
  pipes: {
    circuits: number;
    circuit_pipe: string;
    circuit_length_m: number;
    header_pipe: string;
    circuit_flow_m3_s: number;
    least_reynolds: number;
    total_head_m: number;
    total_pressure_pa: number;
    circulator_w: number;
    pumping_grade: string;
    volume_m3: number;
    antifreeze_m3: number;
    antifreeze_kg: number;
    purge_flow_m3_s: number;
    purge_head_m: number;
  };
  estimate: { lines: EstimateLine[]; contingency: Range; tax: Range; total: Range };
  electricity_year_cents: number;
  life_cycle_cents: number;
  simple_payback_year: number | null;
  verdicts: Verdict[];
};

export type Alternative = {
  key: string;
  name: string;
  fuel: string;
  fuel_unit: string;
  fuel_quantity: number;
  electricity_j: number;
  energy_cost_cents: number;
  maintenance_cents: number;
  capital_cents: number;
  co2e_kg: number;
  saving_frac: number;
};

export type HouseRow = { name: string; kind: string; loss_w: number; gain_w: number };

export type Design = {
  job: string;
  station: string;
  weather: string;
  house: {
    design_loss_w: number;
    design_gain_w: number;
    latent_gain_w: number;
    heating_outdoor_degc: number;
    heating_j: number;
    cooling_j: number;
    components: HouseRow[];
  };
  heat_pump: string;
  fluid: string;
  fluid_mass_frac: number;
  fluid_freeze_degc: number;
  best: number | null;
  loops: Loop[];
  alternatives: Alternative[];
  notes: {
    warnings: { path: string | null; text: string }[];
    defaults: { path: string; value: string }[];
    cautions: string[];
  };
};

export const MONTHS = [
  "January",
  "February",
  "March",
  "April",
  "May",
  "June",
  "July",
  "August",
  "September",
  "October",
  "November",
  "December",
];

/** Month `index` of the horizon: its name and the year of operation, from 1. */
export function monthAt(index: number, first_month: number): { name: string; year: number } {
  return { name: MONTHS[(first_month - 1 + index) % 12] ?? "", year: Math.floor(index / 12) + 1 };
}

/** Index of the coldest month, by its least temperature. */
export function coldestMonth(rows: MonthRow[]): number {
  return rows.reduce((best, row, i) => (row[1] < (rows[best]?.[1] ?? Infinity) ? i : best), 0);
}

/** The loop a reader should see first: the best, else the one with the fewest failing verdicts. */
export function firstLoop(design: Design): number {
  if (design.best !== null) {
    return design.best;
  }
  const fails = design.loops.map((l) => l.verdicts.filter((v) => v.state === "fails").length);
  return fails.indexOf(Math.min(...fails));
}
