// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Each kind of loop in words and figures: bores, trenches, coils, ponds, wells, and loops of several parts.
import type { Plan } from "./design";
import { printQuantity, type System } from "./units";

const COUNT_WORDS = ["No", "One", "Two", "Three", "Four", "Five", "Six", "Seven", "Eight", "Nine", "Ten", "Eleven", "Twelve"];

export function countWord(n: number): string {
  return COUNT_WORDS[n] ?? String(n);
}

const ONE: Record<Plan["kind"], [string, string]> = {
  bores: ["bore", "bores"],
  trench: ["trench", "trenches"],
  coil: ["trench with rings of pipe", "trenches with rings of pipe"],
  pond: ["bundle of pipe in the pond", "bundles of pipe in the pond"],
  well: ["well", "wells"],
  mixed: ["loop of several parts", "loops of several parts"],
};

/** "bore" or "bores", as many as there are. */
export function thing(plan: Plan): string {
  return ONE[plan.kind][plan.count === 1 ? 0 : 1];
}

export function firstOf(plan: Plan): string {
  return { bores: "bore", trench: "trench", coil: "trench", pond: "bundle", well: "well", mixed: "bore" }[plan.kind];
}

/** What is drilled, dug or sunk, all together. */
export function workOf(plan: Plan): { what: string; length_m: number } {
  switch (plan.kind) {
    case "bores":
      return { what: "drilling", length_m: plan.count * (plan.depth_m + plan.top_m) };
    case "trench":
    case "coil":
      return { what: "trench", length_m: plan.count * plan.length_m };
    case "pond":
      return { what: "pipe in the water", length_m: plan.count * plan.bundle_m };
    case "well":
      return { what: "well", length_m: plan.count * plan.depth_m };
    case "mixed":
      return { what: "bore and trench", length_m: plan.parts.reduce((sum, p) => sum + workOf(p).length_m, 0) };
  }
}

/** The loop as one sentence; **doubled stars** mark the strong part. */
export function planSentence(plan: Plan, system: System): string {
  const m = (x: number, decimals = 0): string => printQuantity(x, "length", system, decimals);
  const many = `${countWord(plan.count)} ${thing(plan)}`;
  const work = workOf(plan);
  const whole = `${m(work.length_m)} of ${work.what}`;
  switch (plan.kind) {
    case "bores":
      return `**${many}${plan.count === 1 ? "" : ","} ${m(plan.depth_m)}** deep${plan.count === 1 ? "" : " each"}: ${whole}.`;
    case "trench":
      return `**${many} of ${m(plan.length_m)}**, ${m(plan.depth_m, 1)} deep: ${whole}.`;
    case "coil":
      return `**${countWord(plan.count)} ${plan.count === 1 ? "trench" : "trenches"} of ${m(plan.length_m)}** with rings of pipe, ${m(plan.depth_m, 1)} deep: ${whole}.`;
    case "pond":
      return `**${many}, ${m(plan.bundle_m)}** each, ${m(plan.coil_depth_m, 1)} below the surface: ${whole}.`;
    case "well":
      return `**${many}, ${m(plan.depth_m)}** deep; the water goes back ${plan.return_to === "well" ? `into a well ${m(plan.return_distance_m)} away` : "to the surface"}.`;
    case "mixed":
      return `**${plan.parts.map((p) => `${countWord(p.count).toLowerCase()} ${thing(p)}`).join(" and ")}**: ${whole}.`;
  }
}

/** In few words, for a table. */
export function planShort(plan: Plan, system: System): string {
  const m = (x: number): string => printQuantity(x, "length", system, 0);
  switch (plan.kind) {
    case "bores":
    case "well":
      return `${plan.count} × ${m(plan.depth_m)} deep`;
    case "trench":
      return `${plan.count} × ${m(plan.length_m)} long, ${plan.pipes} pipes each`;
    case "coil":
      return `${plan.count} × ${m(plan.length_m)} long, rings ${printQuantity(plan.ring_diameter_m, "length", system)} across`;
    case "pond":
      return `${plan.count} × ${m(plan.bundle_m)} of pipe`;
    case "mixed":
      return plan.parts.map((p) => planShort(p, system)).join("; ");
  }
}

/** Sizes of the plan, named. */
export function planSizes(plan: Plan, system: System): [string, string][] {
  const m = (x: number): string => printQuantity(x, "length", system);
  switch (plan.kind) {
    case "bores":
      return [
        ["Active depth of each", m(plan.depth_m)],
        ["Top of it below the surface", m(plan.top_m)],
        ["Diameter", printQuantity(plan.diameter_m, "small_length", system, 0)],
        ["Apart", m(plan.spacing_m)],
      ];
    case "trench":
      return [
        ["Length of each trench", m(plan.length_m)],
        ["Pipes in each", String(plan.pipes)],
        ["Width", m(plan.width_m)],
        ["Apart", m(plan.spacing_m)],
      ];
    case "coil":
      return [
        ["Length of each trench", m(plan.length_m)],
        ["Rings", `${plan.lie}, ${m(plan.ring_diameter_m)} across, one every ${m(plan.pitch_m)}`],
        ["Width", m(plan.width_m)],
        ["Apart", m(plan.spacing_m)],
      ];
    case "pond":
      return [
        ["Surface of the pond", printQuantity(plan.area_m2, "area", system, 0)],
        ["Deepest", m(plan.depth_m)],
        ["Bundles below the surface", m(plan.coil_depth_m)],
        ["Water between bundles", m(plan.spacing_m)],
      ];
    case "well":
      return [
        ["Water stands below the surface at", m(plan.static_level_m)],
        ["Pump hangs at", m(plan.pump_depth_m)],
        ["The well gives", printQuantity(plan.yield_m3_s, "liquid_flow", system)],
        ["Temperature of its water", printQuantity(plan.water_degc, "temperature", system)],
      ];
    case "mixed":
      return plan.parts.map((p, i) => [`Part ${i + 1}`, planShort(p, system)]);
  }
}
