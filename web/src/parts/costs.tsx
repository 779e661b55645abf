// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// What a year costs beside every other way to heat, and what the installation costs line by line.
import { comparedWith } from "../answers";
import { csvText, fileName, saveFile } from "../csv";
import type { Alternative, Design, Loop } from "../design";
import { currency, design, loop, system } from "../state";
import { printMoney, printNumber, printQuantity } from "../units";
import { compareKey } from "./answer";
import { Bar, Picture, Whisker } from "./bars";

const OWN = "ground_source";

/** A year of every alternative with the loop in view in place of the best one, dearest first. */
export function yearsOf(d: Design, l: Loop): Alternative[] {
  return d.alternatives
    .map((a) => (a.key === OWN ? { ...a, energy_cost_cents: l.electricity_year_cents } : a))
    .sort((a, b) => b.energy_cost_cents - a.energy_cost_cents);
}

function fuelText(a: Alternative): string {
  return a.fuel_unit === "kWh" || a.key === OWN
    ? printQuantity(a.electricity_j, "energy", "metric", 0)
    : `${printNumber(a.fuel_quantity, a.fuel_quantity < 20 ? 1 : 0)}\u00a0${a.fuel_unit}${a.fuel.startsWith(a.fuel_unit) ? "" : ` ${a.fuel}`}`;
}

export function YearBars({ plain }: { plain?: boolean }) {
  const d = design.value;
  const l = loop.value;
  if (d === null || l === null) {
    return null;
  }
  const rows = yearsOf(d, l);
  const most = Math.max(...rows.map((a) => a.energy_cost_cents), 1);
  const key = compareKey();
  const present = comparedWith(d, key);
  const saved = present === undefined ? 0 : present.energy_cost_cents - l.electricity_year_cents;
  return (
    <table class={plain === true ? "years plain-table" : "years"}>
      <thead class={plain === true ? "unseen" : ""}>
        <tr>
          <th scope="col">Way to heat and cool</th>
          <th scope="col">Energy for a year</th>
          {plain !== true && (
            <>
              <th scope="col" class="right">
                It uses
              </th>
              <th scope="col" class="right">
                CO₂e
              </th>
            </>
          )}
        </tr>
      </thead>
      <tbody>
        {rows.map((a) => {
          const own = a.key === OWN;
          const now = a.key === key;
          return (
            <tr key={a.key} class={own ? "is-own" : now ? "is-now" : ""}>
              <th scope="row">
                {a.name}
                {now && <span class="term"> (now)</span>}
              </th>
              <td>
                <span class="year-bar">
                  <Bar part={a.energy_cost_cents / most} kind={own ? "own" : now ? "present" : "plain"} />
                  {own && saved > 0 && (
                    <span
                      class="saving"
                      style={{ left: `${(l.electricity_year_cents / most) * 100}%`, width: `${(saved / most) * 100}%` }}
                    >
                      <span>{`${printMoney(saved, currency.value)} less each year`}</span>
                    </span>
                  )}
                </span>
                <span class="figure">{printMoney(a.energy_cost_cents, currency.value)}</span>
              </td>
              {plain !== true && (
                <>
                  <td class="right figure">{fuelText(a)}</td>
                  <td class="right figure">{printQuantity(a.co2e_kg, "mass", system.value, 0)}</td>
                </>
              )}
            </tr>
          );
        })}
      </tbody>
    </table>
  );
}

function EstimateLines({ l }: { l: Loop }) {
  const most = Math.max(...l.estimate.lines.map((x) => x.amount.high_cents), 1);
  const c = currency.value;
  const s = system.value;
  const quantity = (x: { quantity: number; unit: string }): string => {
    const known = { m: "length", m2: "area", m3: "volume", W: "heat", kg: "mass" } as const;
    const q = known[x.unit as keyof typeof known];
    return q === undefined
      ? `${printNumber(x.quantity, Number.isInteger(x.quantity) ? 0 : 1)} ${x.unit}`
      : printQuantity(x.quantity, q, s);
  };
  const sums: [string, Loop["estimate"]["total"]][] = [
    ["Contingency", l.estimate.contingency],
    ["Tax", l.estimate.tax],
    ["In all", l.estimate.total],
  ];
  return (
    <table class="estimate">
      <thead>
        <tr>
          <th scope="col">Work and material</th>
          <th scope="col" class="right">
            Quantity
          </th>
          <th scope="col">Low to high</th>
          <th scope="col" class="right">
            Typical
          </th>
        </tr>
      </thead>
      <tbody>
        {l.estimate.lines.map((x, i) => (
          <tr key={i}>
            <th scope="row">
              <details>
                <summary>{x.what}</summary>
                <span class="because">{[x.origin, x.price_source].filter((t) => t !== null && t !== "").join(". ")}</span>
              </details>
            </th>
            <td class="right figure">{quantity(x)}</td>
            <td>
              <Whisker
                low={x.amount.low_cents / most}
                typical={x.amount.typical_cents / most}
                high={x.amount.high_cents / most}
              />
              <span class="unseen">
                {printMoney(x.amount.low_cents, c)} to {printMoney(x.amount.high_cents, c)}
              </span>
            </td>
            <td class="right figure">{printMoney(x.amount.typical_cents, c)}</td>
          </tr>
        ))}
      </tbody>
      <tfoot>
        {sums.map(([name, r]) => (
          <tr key={name}>
            <th scope="row">{name}</th>
            <td />
            <td class="figure">
              {printMoney(r.low_cents, c)} to {printMoney(r.high_cents, c)}
            </td>
            <td class="right figure">{printMoney(r.typical_cents, c)}</td>
          </tr>
        ))}
      </tfoot>
    </table>
  );
}

function saveYears(d: Design, l: Loop): void {
  const rows = yearsOf(d, l).map((a) => [
    a.name,
    a.fuel,
    a.fuel_quantity,
    a.fuel_unit,
    a.electricity_j / 3.6e6,
    a.energy_cost_cents / 100,
    a.maintenance_cents / 100,
    a.capital_cents / 100,
    a.co2e_kg,
  ]);
  saveFile(
    fileName(d.job, "-years.csv"),
    csvText(
      ["alternative", "fuel", "fuel quantity", "unit", "electricity kWh", "energy cost", "maintenance", "capital", "CO2e kg"],
      rows,
    ),
  );
}

function saveEstimate(d: Design, l: Loop): void {
  const rows = l.estimate.lines.map((x) => [
    x.what,
    x.quantity,
    x.unit,
    x.amount.low_cents / 100,
    x.amount.typical_cents / 100,
    x.amount.high_cents / 100,
    x.origin,
    x.price_source,
  ]);
  saveFile(
    fileName(d.job, "-estimate.csv"),
    csvText(["what", "quantity", "unit", "low", "typical", "high", "from", "source of price"], rows),
  );
}

export function CostPicture() {
  const d = design.value;
  const l = loop.value;
  if (d === null || l === null) {
    return (
      <Picture title="A year of heating and cooling">
        <p class="empty">No answer yet. Mend the inputs marked in the list on the left.</p>
      </Picture>
    );
  }
  return (
    <>
      <Picture
        title="A year of heating, cooling and hot water"
        note="Energy only, at the prices stated; the saving depends above all on the fuel it replaces."
        tools={
          <button type="button" class="quiet" onClick={() => saveYears(d, l)}>
            CSV
          </button>
        }
      >
        <YearBars />
      </Picture>
      <Picture
        title={`Installing ${l.name}, line by line`}
        note="Each line runs from its low to its high price; the mark is the typical one. Open a line for its quantity and source."
        tools={
          <button type="button" class="quiet" onClick={() => saveEstimate(d, l)}>
            CSV
          </button>
        }
      >
        <EstimateLines l={l} />
      </Picture>
    </>
  );
}
