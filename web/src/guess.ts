// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// A first visit: six answers become a job with good guesses, in a cautious, a likely and a hopeful variant.
// The guesses are inputs of a job, common practice without a source; every result still comes from the program.
import type { Json, JsonObject } from "./json";

export type Sure<T> = T | "unsure";

export type Visit = {
  station: string;
  floor_area_m2: number;
  storeys: number;
  era: Sure<number>; // index in ERAS
  present: string; // key of the alternative it burns now
  bill: number | null; // what a year of it cost, in the currency
  land: LandId;
  ground: Sure<GroundId>;
};

export type Variant = "cautious" | "likely" | "hopeful";

type Era = { label: string; wall: number; roof: number; window: number; basement: number; ach50: number }; // R-values, air changes at 50 Pa

export const ERAS: Era[] = [
  { label: "before 1945", wall: 7, roof: 20, window: 1.8, basement: 3, ach50: 11 },
  { label: "1945 to 1975", wall: 10, roof: 25, window: 2, basement: 5, ach50: 7.5 },
  { label: "1976 to 1990", wall: 14, roof: 32, window: 2, basement: 9, ach50: 5.5 },
  { label: "1991 to 2010", wall: 18, roof: 40, window: 3, basement: 12, ach50: 3.8 },
  { label: "after 2010", wall: 22, roof: 50, window: 3.5, basement: 16, ach50: 2.2 },
];

export type LandId = "field" | "garden" | "small";
export const LANDS: Record<LandId, { label: string; length_m: number; width_m: number; entry_m: number }> = {
  field: { label: "a field: room for long trenches", length_m: 100, width_m: 50, entry_m: 20 },
  garden: { label: "a large garden", length_m: 40, width_m: 20, entry_m: 10 },
  small: { label: "a small lot: room for a drill rig", length_m: 15, width_m: 10, entry_m: 6 },
};

export type GroundId = "clay" | "sand" | "wet" | "loam" | "rock";
export const GROUNDS: Record<GroundId, { label: string; soil: string; rock: string; rockDepth_m: number }> = {
  clay: { label: "clay", soil: "heavy-clay-moist", rock: "average-rock", rockDepth_m: 10 },
  loam: { label: "mixed soil, damp", soil: "heavy-soil-damp", rock: "average-rock", rockDepth_m: 8 },
  sand: { label: "dry sand or gravel", soil: "light-sand-dry", rock: "average-rock", rockDepth_m: 10 },
  wet: { label: "wet sand or gravel", soil: "sand-saturated", rock: "average-rock", rockDepth_m: 10 },
  rock: { label: "rock near the surface", soil: "heavy-soil-damp", rock: "granite", rockDepth_m: 2 },
};

const UNSURE_GROUND: Record<Variant, GroundId> = { cautious: "sand", likely: "loam", hopeful: "wet" };
const UNSURE_ERA: Record<Variant, number> = { cautious: 1, likely: 2, hopeful: 3 };
const INSULATION: Record<Variant, number> = { cautious: 0.85, likely: 1, hopeful: 1.15 };
const LEVEL: Record<Variant, string> = { cautious: "low", likely: "typical", hopeful: "high" };

/** Outline of a plain house of that floor area: a basement, storeys of 2.5 m, 12 % of the walls in windows. */
export function envelopeOf(
  floor_area_m2: number,
  storeys: number,
): { cover_m2: number; outline_m: number; wall_m2: number; window_m2: number; volume_m3: number } {
  const cover = floor_area_m2 / (storeys + 1);
  const side = Math.sqrt(cover);
  const outline = 4 * side;
  const faces = outline * 2.7 * storeys;
  const window = 0.12 * faces;
  return { cover_m2: cover, outline_m: outline, wall_m2: faces - window - 4, window_m2: window, volume_m3: floor_area_m2 * 2.5 };
}

const round1 = (x: number): number => Math.round(x * 10) / 10;

function houseOf(v: Visit, variant: Variant): JsonObject {
  const era = ERAS[v.era === "unsure" ? UNSURE_ERA[variant] : v.era] ?? ERAS[2]!;
  const f = v.era === "unsure" ? 1 : INSULATION[variant];
  const e = envelopeOf(v.floor_area_m2, v.storeys);
  const r = (x: number): string => `R-${round1(x * f)}`;
  const part = (name: string, kind: string, area: number, value: number, more: JsonObject = {}): JsonObject => ({
    name,
    kind,
    area_m2: round1(area),
    insulation_m2k_w: r(value),
    ...more,
  });
  return {
    floor_area_m2: round1(v.floor_area_m2),
    volume_m3: round1(e.volume_m3),
    storeys: v.storeys,
    envelope: [
      part("walls", "wall", e.wall_m2, era.wall),
      part("roof", "roof", e.cover_m2, era.roof),
      part("windows", "window", e.window_m2, era.window, { solar_gain_frac: 0.5 }),
      part("doors", "door", 4, 4),
      part("basement walls", "basement_wall", e.outline_m * 1.8, era.basement, { depth_m: 1.8 }),
      part("basement floor", "basement_floor", e.cover_m2, 2.5, { depth_m: 1.8, perimeter_m: round1(e.outline_m) }),
    ],
    leakage: { ach50: round1(era.ach50 / f) },
  };
}

export type LossFromBill = { loss_w: number }; // design loss scaled so that the fuel bill comes out

const BILL_SPREAD: Record<Variant, number> = { cautious: 1.1, likely: 1, hopeful: 0.9 };

export function jobOf(v: Visit, variant: Variant, bill: LossFromBill | null): JsonObject {
  const land = LANDS[v.land];
  const ground = GROUNDS[v.ground === "unsure" ? UNSURE_GROUND[variant] : v.ground];
  const level = v.ground === "unsure" ? "typical" : LEVEL[variant];
  const guessed = houseOf(v, variant);
  const house: JsonObject =
    bill === null
      ? guessed
      : {
          floor_area_m2: guessed["floor_area_m2"] as Json,
          storeys: v.storeys,
          design_loss_w: Math.round(bill.loss_w * BILL_SPREAD[variant]),
        };
  const loops: Json[] = [
    {
      name: "bores",
      kind: "bores",
      bores: {
        count: Math.max(1, Math.ceil(v.floor_area_m2 / 70)),
        spacing_m: 6,
        rock_depth_m: ground.rockDepth_m,
        max_depth_m: 150,
      },
    },
  ];
  if (v.land !== "small") {
    loops.unshift({
      name: "trenches",
      kind: "trench",
      trench: { count: v.land === "field" ? 6 : 4, depth_m: 1.8, width_m: 0.6, spacing_m: 3, pipes: 2 },
    });
  }
  return {
    groundwright: 1,
    name: "First visit",
    notes:
      "Made from the six questions of a first visit. Insulation, air leakage, outline and ground are guesses by age and kind (common practice, no source). Replace them by what is measured.",
    site: { station: v.station, usable_length_m: land.length_m, usable_width_m: land.width_m, entry_distance_m: land.entry_m },
    house,
    ground: { soil: { class: ground.soil, level }, rock: { class: ground.rock, level } },
    loops,
    money: { compare_with: v.present },
  };
}
