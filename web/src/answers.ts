// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// The five answers as sentences, each with what stands behind it. Numbers come from the design as they are;
// this file only chooses, rounds and words them. **Doubled stars** mark what is printed strong.
import type { Alternative, Design, Loop, Moment, Range, State, Verdict } from "./design";
import { MONTHS } from "./design";
import { printMoney, printNumber, printQuantity, quantityOf, type System } from "./units";
import { planSentence, planSizes } from "./plans";
import { plural } from "./words";

export type AnswerId = "loop" | "water" | "year" | "price" | "settle";

export type AnswerLine = {
  id: AnswerId;
  title: string;
  sentence: string;
  state: State | null;
  verdicts: Verdict[];
  numbers: [string, string][];
  method: string;
  source: string;
  defaultsUnder: string[]; // places of the job whose defaults bear on it
};

export type Context = { design: Design; loop: Loop; index: number; system: System; currency: string; openFaults: number };

const DAYS = [31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31];

/** Month of an hour of a year of 365 days. */
export function monthOfHour(hour: number): string {
  let left = Math.floor(hour / 24);
  for (let m = 0; m < 12; m++) {
    const days = DAYS[m] ?? 31;
    if (left < days) {
      return MONTHS[m] ?? "";
    }
    left -= days;
  }
  return "December";
}

export function printMoment(m: Moment): string {
  return `${monthOfHour(m.hour_of_year)} of year ${m.year}`;
}

const RANK: State[] = ["holds", "caution", "fails"];

export function worstState(verdicts: readonly Verdict[]): State {
  return verdicts.reduce<State>((worst, v) => (RANK.indexOf(v.state) > RANK.indexOf(worst) ? v.state : worst), "holds");
}

/** A found or limiting number of a verdict, with its unit. */
export function printVerdictNumber(v: Verdict, value: number | null | undefined, system: System): string {
  if (value === null || value === undefined) {
    return "not known";
  }
  if (v.unit === "1" && v.what.startsWith("share")) {
    return printQuantity(value, "share", system, 1);
  }
  if (v.unit === "1" && v.what.includes("(W/kW)")) {
    return `${printNumber(value, 1)}\u00a0W/kW`;
  }
  return printQuantity(value, quantityOf(v.unit), system);
}

/** "−1.6 °C, must be at least −1.1 °C", with a digit more where rounding would hide the difference. */
export function verdictLimit(v: Verdict, system: System): string {
  const limit = v.at_least ?? v.at_most;
  if (limit === null || limit === undefined) {
    return "";
  }
  return `${v.at_least != null ? "at least" : "at most"} ${printVerdictNumber(v, limit, system)}`;
}

const about = (loop: Loop, words: RegExp): Verdict[] => loop.verdicts.filter((v) => words.test(v.what));

function loopLine({ loop, system, design, index }: Context): AnswerLine {
  const m = (x: number): string => printQuantity(x, "length", system);
  const p = loop.plan;
  const sizes = planSizes(p, system);
  const verdicts = about(loop, /length of ground|width of ground|peak extraction|depth|land|pond|bundles|well|returned/);
  return {
    id: "loop",
    title: loop.name,
    sentence: planSentence(p, system),
    state: loop.stands ? "holds" : "fails",
    verdicts,
    numbers: [
      ...sizes,
      ...(loop.land_length_m > 0
        ? [["Land taken up", `${m(loop.land_length_m)} by ${m(loop.land_width_m)}`] as [string, string]]
        : []),
      ...(loop.length_m > 0 ? [["Pipe or bore that takes up heat", m(loop.length_m)] as [string, string]] : []),
      [
        "By a handbook rule, to compare",
        loop.ground.handbook_length_m === null
          ? "none for this kind"
          : `${m(loop.ground.handbook_length_m)}${loop.ground.handbook == null ? "" : ` (${loop.ground.handbook})`}`,
      ],
      ["Heat loss it is sized for", printQuantity(design.house.design_loss_w, "heat", system)],
    ],
    method:
      "The smallest loop whose water stays within its limits in every hour of the whole horizon, found by simulating each try hour by hour.",
    source: "Finite line sources with a mirror image at the surface; equations and sources in docs/methods/ground.md.",
    defaultsUnder: [`loops[${index}]`, "ground", "plant.share_of_design_loss"],
  };
}

function waterLine({ loop, system }: Context): AnswerLine {
  const w = loop.entering_water;
  const t = (x: number): string => printQuantity(x, "temperature", system);
  const verdicts = about(loop, /entering water|colder in the last|freezing point/);
  const cold = verdicts.find((v) => v.what === "coldest entering water");
  const limit = cold?.at_least;
  const tail = limit == null ? "" : cold?.state === "fails" ? `; it may not go below ${t(limit)}` : `; the limit is ${t(limit)}`;
  return {
    id: "water",
    title: "Coldest water into the heat pump",
    sentence: `**${t(w.coldest.degc)}** in ${printMoment(w.coldest)}${tail}.`,
    state: cold?.state ?? worstState(verdicts),
    verdicts,
    numbers: [
      ["Coldest hour of the first winter", t(w.coldest_first_year.degc)],
      ["Coldest hour of the last winter", t(w.coldest_last_year.degc)],
      ["Mean of the coldest week", t(w.coldest_week_degc)],
      ["Coldest on the way back to the ground", t(w.coldest_leaving_degc)],
      ["Warmest hour", `${t(w.warmest.degc)} in ${printMoment(w.warmest)}`],
      ["Ground before the loop", t(loop.ground.undisturbed_degc)],
    ],
    method:
      "Heat pump and ground are solved together in every hour, so that colder water makes the unit work harder, and the other way round.",
    source: "Equations and sources in docs/methods/ground.md and docs/methods/plant.md.",
    defaultsUnder: ["limits", "ground", "plant", "site"],
  };
}

const yearOf = (a: Alternative): number => a.energy_cost_cents;

export function comparedWith(design: Design, key: string): Alternative | undefined {
  return design.alternatives.find((a) => a.key === key);
}

function yearLine(c: Context & { compareKey: string }): AnswerLine {
  const { design, loop, currency, system } = c;
  const money = (x: number): string => printMoney(x, currency);
  const other = comparedWith(design, c.compareKey);
  const own = loop.electricity_year_cents;
  const less = other === undefined || yearOf(other) <= 0 ? null : 1 - own / yearOf(other);
  const compare = other === undefined ? "" : `; ${other.name} costs ${money(yearOf(other))}`;
  const e = loop.first_year;
  return {
    id: "year",
    title: "Energy for a year",
    sentence: `**${money(own)}** a year${compare}.`,
    state: null,
    verdicts: about(loop, /share of the heat|circulator/),
    numbers: [
      [
        "Saving",
        less === null
          ? "nothing to compare with"
          : `${money(yearOf(other as Alternative) - own)} a year, ${printQuantity(less, "share", system)}`,
      ],
      ["Heat moved per unit of electricity, with pumps and fan (seasonal performance)", printNumber(loop.heating_spf, 2)],
      ["Electricity for heat and hot water, first year", printQuantity(e.heating_electricity_j, "energy", system, 0)],
      ["Electricity for cooling, first year", printQuantity(e.cooling_electricity_j, "energy", system, 0)],
      ["Of it, auxiliary heat", printQuantity(e.auxiliary_j, "energy", system, 0)],
      ["Heat from the ground, first year", printQuantity(e.ground_j, "energy", system, 0)],
      [
        "Pays back, counted simply",
        loop.simple_payback_year === null ? "not within the study" : `in ${printNumber(loop.simple_payback_year, 0)} years`,
      ],
    ],
    method:
      "The year's electricity, hour by hour with pumps, fan and auxiliary heat, at the prices stated; every alternative serves the same loads.",
    source: "Fuel data and prices with their sources in data/fuels.csv and data/alternatives.csv; docs/methods/money.md.",
    defaultsUnder: ["money", "plant"],
  };
}

const rounded = (cents: number): number => Math.round(cents / 10000) * 10000;

function priceLine({ loop, currency }: Context): AnswerLine {
  const total = loop.estimate.total;
  const about100 = (x: number): string => printMoney(rounded(x), currency);
  const money = (r: Range): string =>
    `${printMoney(r.typical_cents, currency)} (${printMoney(r.low_cents, currency)} to ${printMoney(r.high_cents, currency)})`;
  return {
    id: "price",
    title: "Installed",
    sentence: `About **${about100(total.typical_cents)}**; between ${about100(total.low_cents)} and ${about100(total.high_cents)}.`,
    state: null,
    verdicts: [],
    numbers: [
      ["With tax and contingency", money(total)],
      ["Contingency", money(loop.estimate.contingency)],
      ["Tax", money(loop.estimate.tax)],
      ["Cost over the years compared (life cycle, present value)", printMoney(loop.life_cycle_cents, currency)],
    ],
    method: "Quantities of the design times unit prices; low and high take every price at its low or high value at once.",
    source: "Unless you name your own price book, prices are invented for demonstration; each line names its source.",
    defaultsUnder: ["money"],
  };
}

export type Matter = { state: State; text: string; detail: string; path: string };

/** What is left to settle: errors of the job, verdicts that fail, then what deserves a look. */
export function mattersOf(
  c: Context,
  faults: { path: string; text: string }[],
  warnings: { path: string | null; text: string }[],
): Matter[] {
  const limit = (v: Verdict): string =>
    [printVerdictNumber(v, v.found, c.system), verdictLimit(v, c.system)].filter((s) => s !== "").join(", must be ");
  const of = (state: State): Matter[] =>
    c.loop.verdicts
      .filter((v) => v.state === state)
      .map((v) => ({ state, text: v.what, detail: `${limit(v)}. ${v.because ?? ""}`, path: "" }));
  return [
    ...faults.map((f): Matter => ({ state: "fails", text: f.text, detail: "", path: f.path })),
    ...of("fails"),
    ...of("caution"),
    ...warnings.map((w): Matter => ({ state: "caution", text: w.text, detail: "", path: w.path ?? "" })),
  ];
}

function settleLine(c: Context, matters: Matter[]): AnswerLine {
  const wrong = matters.filter((m) => m.state === "fails").length;
  const look = matters.length - wrong;
  const both = [
    wrong > 0 ? `**${plural(wrong, "thing", "things")}** to settle` : "",
    look > 0 ? `${wrong > 0 ? "" : "**"}${plural(look, "thing", "things")}${wrong > 0 ? "" : "**"} to look at` : "",
  ].filter((s) => s !== "");
  return {
    id: "settle",
    title: "Before it is built",
    sentence: both.length === 0 ? "**Nothing** left to settle here." : `${both.join(", ")}.`,
    state: wrong > 0 ? "fails" : look > 0 ? "caution" : "holds",
    verdicts: [],
    numbers: [
      ["Defaults in use", String(c.design.notes.defaults.length)],
      ["Weather", c.design.weather],
    ],
    method: "Every limit is checked for every loop; what is only a guideline is said to be one.",
    source: "Limits stated in the job, else common practice as said beside each check.",
    defaultsUnder: [],
  };
}

export function answersOf(c: Context & { compareKey: string }, matters: Matter[]): AnswerLine[] {
  return [loopLine(c), waterLine(c), yearLine(c), priceLine(c), settleLine(c, matters)];
}
