// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// The words of the page: names of the stages, of fields whose key says too little, and of kinds.

export type Picture = "lot" | "water" | "loops" | "house" | "cost" | "checks";

export type StageId = "site" | "house" | "plant" | "ground" | "loops" | "pipes" | "limits" | "money" | "job";

export type Stage = {
  id: StageId;
  title: string;
  about: string; // one sentence above its inputs
  parts: string[]; // keys of the job it holds
  picture: Picture;
};

export const STAGES: Stage[] = [
  {
    id: "site",
    title: "Site",
    about: "Where the house stands, and how much ground is free for the loop.",
    parts: ["site", "lot"],
    picture: "lot",
  },
  {
    id: "house",
    title: "House",
    about: "What loses heat. A smaller loss is a smaller loop.",
    parts: ["house"],
    picture: "house",
  },
  {
    id: "plant",
    title: "Heat pump",
    about: "The unit indoors, and the hot water it helps to make.",
    parts: ["plant"],
    picture: "water",
  },
  {
    id: "ground",
    title: "Ground",
    about: "What the loop lies in: soil for trenches, rock for bores.",
    parts: ["ground"],
    picture: "lot",
  },
  { id: "loops", title: "Loops", about: "Ways to lay the loop. All are sized and compared.", parts: ["loops"], picture: "loops" },
  {
    id: "pipes",
    title: "Fluid and pipes",
    about: "What circulates (the antifreeze), and the pipes outside the field.",
    parts: ["fluid", "pipes"],
    picture: "checks",
  },
  {
    id: "limits",
    title: "Limits",
    about: "What the loop must hold, and for how many years.",
    parts: ["limits"],
    picture: "checks",
  },
  { id: "money", title: "Cost", about: "Prices here, grants, and the heating it replaces.", parts: ["money"], picture: "cost" },
  {
    id: "job",
    title: "This job",
    about: "Name, notes and currency, as printed on every paper.",
    parts: ["name", "notes", "currency"],
    picture: "lot",
  },
];

export const PICTURES: { id: Picture; title: string }[] = [
  { id: "lot", title: "Lot" },
  { id: "loops", title: "Loops" },
  { id: "water", title: "Water" },
  { id: "house", title: "House loss" },
  { id: "cost", title: "Cost" },
  { id: "checks", title: "Checks" },
];

const FIELD: Record<string, string> = {
  site: "Site",
  house: "House",
  plant: "Heat pump",
  ground: "Ground",
  fluid: "Fluid",
  pipes: "Pipes",
  limits: "Limits",
  money: "Money",
  lot: "The lot as surveyed",
  boundary: "Corners of the property",
  features: "Things on the lot",
  coil: "Coils (rings of pipe in trenches)",
  pond: "Pond",
  well: "Well (open loop)",
  parts: "Parts of the loop",
  station: "Climate station",
  weather_file: "Hourly weather file",
  monthly_mean_degc: "Mean air temperature of each month",
  heating_design_degc: "Coldest outdoor temperature to design for",
  cooling_design_degc: "Warmest outdoor temperature to design for",
  daily_range_k: "Daily range of the warmest month",
  ground_mean_degc: "Mean temperature of the ground",
  ground_amplitude_k: "Half the yearly swing at the surface",
  ground_phase_day: "Coldest day at the surface (day of the year)",
  usable_length_m: "Free ground, long side",
  usable_width_m: "Free ground, other side",
  entry_distance_m: "From the free ground to the house",
  timezone_h: "Time zone (hours from UTC)",
  heating_setpoint_degc: "Indoors in winter (heating setpoint)",
  cooling_setpoint_degc: "Indoors in summer (cooling setpoint)",
  setback_degc: "Indoors at night (setback)",
  setback_start_h: "Night begins (hour)",
  setback_end_h: "Night ends (hour)",
  internal_gain_w: "Heat of people and appliances",
  latent_gain_frac: "Latent share of cooling",
  envelope: "Parts that lose heat (envelope)",
  insulation_m2k_w: "Insulation",
  solar_gain_frac: "Sun let through (solar heat gain coefficient)",
  facing_deg: "Facing (0 north, 90 east)",
  shading_frac: "Shaded",
  soil_conductivity_w_mk: "Soil at the foundation (conductivity)",
  opaque_absorptance: "Sun taken up by walls and roof",
  ach50: "Air changes at 50 Pa (blower door)",
  natural_ach: "Air changes without a fan",
  shelter_class: "Shelter, 1 open to 5 sheltered",
  ventilation_m3_s: "Ventilation",
  heat_recovery_frac: "Heat recovered from it",
  design_loss_w: "Heat loss worked out elsewhere",
  design_gain_w: "Heat gain worked out elsewhere",
  heating_base_degc: "No heating above (balance point)",
  cooling_base_degc: "Cooling begins above",
  heat_pump: "Heat pump, generic curve",
  own_heat_pump: "The chosen unit, by its rating points",
  unit_count: "Units",
  share_of_design_loss: "Capacity over the heat loss",
  cycling_coefficient: "Cycling loss",
  circulator_power_w: "Loop pump (circulator)",
  circulator_heat_frac: "Pump power that warms the fluid",
  flow_m3_s: "Loop flow",
  hot_water: "Hot water",
  daily_volume_m3: "Drawn per day",
  cold_degc: "Cold water",
  hot_degc: "Hot water at the tap",
  standby_loss_w: "Loss of the tank",
  heat_pump_share_frac: "Made by the heat pump",
  cop_ratio: "COP for hot water over that for heating",
  soil: "Soil",
  rock: "Rock",
  layers: "Layers (a driller's log)",
  class: "Class",
  level: "End of its published range",
  conductivity_w_mk: "Conductivity",
  volumetric_heat_j_m3k: "Heat capacity",
  frozen_conductivity_w_mk: "Conductivity, frozen",
  frozen_volumetric_heat_j_m3k: "Heat capacity, frozen",
  latent_heat_j_m3: "Heat of freezing (J per m³)",
  thickness_m: "Thickness",
  drilling: "The drill meets",
  kind: "Kind",
  freeze_point_degc: "Freezes at",
  mass_frac: "Antifreeze by mass",
  header_pipe: "Pipe to the house (header)",
  wire_to_water_frac: "Efficiency of the loop pump",
  min_entering_degc: "Coldest water into the heat pump",
  max_entering_degc: "Warmest water into the heat pump",
  years: "Over how many years",
  free: "What the sizing finds",
  bores: "Bores",
  trench: "Trenches",
  header_m: "From the field to the house",
  count: "How many",
  depth_m: "Depth",
  top_m: "Top below the surface",
  diameter_m: "Diameter",
  spacing_m: "Apart (spacing)",
  rows: "Rows",
  places: "Place of each bore",
  u_tubes: "U-tubes in each",
  pipe: "Pipe",
  shank_m: "Between the two legs",
  grout_conductivity_w_mk: "Grout (conductivity)",
  grout_volumetric_heat_j_m3k: "Grout (heat capacity)",
  rock_depth_m: "Overburden above the rock",
  max_depth_m: "Deepest allowed",
  length_m: "Length of each",
  width_m: "Width",
  arrangement: "Pipes lie",
  pipe_gap_m: "Between layers of pipes",
  max_length_m: "Longest allowed",
  price_book: "Own price book",
  grid: "Electricity grid, for carbon",
  electricity_price_per_kwh: "Electricity, per kWh",
  tariff: "Electricity tariff in full",
  fuel_prices: "Prices of fuels here",
  compare_with: "Compared with (present heating)",
  discount_frac: "Discount rate, per year",
  electricity_escalation_frac: "Electricity rises, per year",
  fuel_escalation_frac: "Fuels rise, per year",
  study_year: "Years compared",
  programs: "Grants and credits",
  work: "Dates of the work",
  x_m: "East",
  y_m: "North",
  tilt_deg: "Tilt from the vertical",
  azimuth_deg: "Direction of the tilt",
};

export function fieldLabel(key: string): string {
  const known = FIELD[key];
  if (known !== undefined) {
    return known;
  }
  const bare = key.replace(/_(m2k_w|w_mk|j_m3k|j_m3|m3_s|degc|deg|frac|m2|m3|pa|m|k|w|h)$/, "").replaceAll("_", " ");
  return bare.charAt(0).toUpperCase() + bare.slice(1);
}

/** A choice of the job as a reader says it: `basement_wall` is "basement wall". */
export function choiceLabel(value: string): string {
  return value.replaceAll("_", " ");
}

/** "windows, south" of `house.envelope[2].area_m2` as "House, part 3, area". */
export function pathLabel(path: string): string {
  return path
    .split(".")
    .map((part) => {
      const [key = "", index] = part.split("[");
      const label = fieldLabel(key);
      return index === undefined ? label : `${label} ${Number.parseInt(index, 10) + 1}`;
    })
    .join(" › ");
}

export function plural(n: number, one: string, many: string): string {
  return `${n} ${n === 1 ? one : many}`;
}

export const VERDICT_WORD = { holds: "holds", caution: "look at this", fails: "does not hold" } as const;

/** How the stated limit is said in front of the number. */
export const KIND_WORD: Record<string, string> = {
  wall: "wall",
  roof: "roof",
  floor_exposed: "floor over outside air",
  window: "window",
  door: "door",
  basement_wall: "below ground",
  basement_floor: "below ground",
  slab: "on the ground",
  air: "air",
  internal: "gain",
  mass: "storage",
};
