// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// The loops of the job side by side: one row each, bars for what differs, verdicts by word and shape.
import { worstState, printVerdictNumber, verdictLimit } from "../answers";
import { csvText, fileName, saveFile } from "../csv";
import type { Design, Loop } from "../design";
import { chosenLoop, currency, design, loopIndex, system } from "../state";
import { printMoney, printNumber, printQuantity } from "../units";
import { planShort } from "../plans";
import { Bar, Picture } from "./bars";
import { Mark } from "./marks";

function saveLoops(d: Design): void {
  const rows = d.loops.map((l) => [
    l.name,
    l.stands ? "holds" : "does not hold",
    l.plan.kind,
    l.plan.count,
    l.length_m,
    l.land_length_m,
    l.land_width_m,
    l.entering_water.coldest.degc,
    l.heating_spf,
    l.estimate.total.low_cents / 100,
    l.estimate.total.typical_cents / 100,
    l.estimate.total.high_cents / 100,
    l.electricity_year_cents / 100,
  ]);
  const header = [
    "loop",
    "verdict",
    "kind",
    "count",
    "length m",
    "land length m",
    "land width m",
    "coldest water °C",
    "seasonal performance",
    "cost low",
    "cost typical",
    "cost high",
    "energy per year",
  ];
  saveFile(fileName(d.job, "-loops.csv"), csvText(header, rows));
}

type Measure = { title: string; term?: string; value: (l: Loop) => number; print: (l: Loop) => string; bar: boolean };

function measures(): Measure[] {
  const s = system.value;
  const c = currency.value;
  return [
    { title: "Loop", value: () => 0, print: (l) => planShort(l.plan, s), bar: false },
    {
      title: "Pipe or bore in the ground",
      value: (l) => l.length_m,
      print: (l) => (l.length_m > 0 ? printQuantity(l.length_m, "length", s, 0) : "none"),
      bar: true,
    },
    {
      title: "Land taken up",
      value: (l) => l.land_length_m * l.land_width_m,
      print: (l) =>
        l.land_length_m <= 0
          ? "none"
          : `${printQuantity(l.land_length_m, "length", s, 0)} × ${printQuantity(l.land_width_m, "length", s, 0)}`,
      bar: true,
    },
    {
      title: "Coldest water",
      value: () => 0,
      print: (l) => printQuantity(l.entering_water.coldest.degc, "temperature", s),
      bar: false,
    },
    {
      title: "Heat per unit of electricity",
      term: "seasonal performance",
      value: (l) => l.heating_spf,
      print: (l) => printNumber(l.heating_spf, 2),
      bar: true,
    },
    {
      title: "Installed",
      value: (l) => l.estimate.total.typical_cents,
      print: (l) => printMoney(l.estimate.total.typical_cents, c),
      bar: true,
    },
    {
      title: "Energy, a year",
      value: (l) => l.electricity_year_cents,
      print: (l) => printMoney(l.electricity_year_cents, c),
      bar: true,
    },
    {
      title: "All costs over the years",
      term: "life cycle, present value",
      value: (l) => l.life_cycle_cents,
      print: (l) => printMoney(l.life_cycle_cents, c),
      bar: true,
    },
  ];
}

export function LoopsPicture() {
  const d = design.value;
  if (d === null) {
    return (
      <Picture title="Loops compared">
        <p class="empty">No answer yet. Mend the inputs marked in the list on the left.</p>
      </Picture>
    );
  }
  const note =
    d.best === null
      ? "None of these holds all limits on this lot. The checks under each say why."
      : `Best, by all costs over the years: ${d.loops[d.best]?.name ?? ""}.`;
  return (
    <Picture
      title="Loops compared"
      note={note}
      tools={
        <button type="button" class="quiet" onClick={() => saveLoops(d)}>
          CSV
        </button>
      }
    >
      <div class="scroll">
        <table class="compare">
          <thead>
            <tr>
              <th scope="col">
                <span class="unseen">What</span>
              </th>
              {d.loops.map((l, i) => (
                <th scope="col" key={l.name} class={i === loopIndex.value ? "chosen" : ""}>
                  <button
                    type="button"
                    class="choose"
                    aria-pressed={i === loopIndex.value}
                    onClick={() => (chosenLoop.value = i)}
                  >
                    {l.name}
                  </button>
                  <Mark state={l.stands ? (worstState(l.verdicts) === "caution" ? "caution" : "holds") : "fails"} word />
                </th>
              ))}
            </tr>
          </thead>
          <tbody>
            {measures().map((m) => {
              const most = Math.max(...d.loops.map(m.value), 1e-9);
              return (
                <tr key={m.title}>
                  <th scope="row">
                    {m.title}
                    {m.term !== undefined && <span class="term"> ({m.term})</span>}
                  </th>
                  {d.loops.map((l, i) => (
                    <td key={l.name} class={i === loopIndex.value ? "chosen" : ""}>
                      <span class="figure">{m.print(l)}</span>
                      {m.bar && <Bar part={m.value(l) / most} kind={i === loopIndex.value ? "own" : "plain"} />}
                    </td>
                  ))}
                </tr>
              );
            })}
          </tbody>
        </table>
      </div>
      <p class="hint">Choose a loop by its name to see it on the lot. To add another, open Loops in the list of the work.</p>
    </Picture>
  );
}

export function ChecksPicture() {
  const d = design.value;
  if (d === null) {
    return (
      <Picture title="Checks">
        <p class="empty">No answer yet. Mend the inputs marked in the list on the left.</p>
      </Picture>
    );
  }
  const s = system.value;
  return (
    <Picture title="Every check of every loop">
      {d.loops.map((l) => (
        <section key={l.name} class="check-loop">
          <h3>{l.name}</h3>
          <table class="checks">
            <thead>
              <tr>
                <th scope="col">Verdict</th>
                <th scope="col">What</th>
                <th scope="col" class="right">
                  Found
                </th>
                <th scope="col" class="right">
                  Must be
                </th>
                <th scope="col">Because</th>
              </tr>
            </thead>
            <tbody>
              {l.verdicts.map((v) => (
                <tr key={v.what}>
                  <td>
                    <Mark state={v.state} word />
                  </td>
                  <td>{v.what}</td>
                  <td class="right figure">{printVerdictNumber(v, v.found, s)}</td>
                  <td class="right">{verdictLimit(v, s) || "no limit"}</td>
                  <td class="because">{v.because ?? ""}</td>
                </tr>
              ))}
            </tbody>
          </table>
          <Hydraulics l={l} d={d} />
        </section>
      ))}
    </Picture>
  );
}

function Hydraulics({ l, d }: { l: Loop; d: Design }) {
  const s = system.value;
  const p = l.pipes;
  const rows: [string, string][] = [
    ["Circuits in parallel", `${p.circuits} of ${printQuantity(p.circuit_length_m, "length", s, 0)}, ${p.circuit_pipe}`],
    ["Pipe to the house (header)", p.header_pipe],
    ["Flow in each circuit", printQuantity(p.circuit_flow_m3_s, "liquid_flow", s)],
    [
      "Head of the loop pump",
      `${printQuantity(p.total_head_m, "length", s, 1)} (${printQuantity(p.total_pressure_pa, "pressure", s)})`,
    ],
    ["Loop pump (circulator)", `${printQuantity(p.circulator_w, "power", s, 0)}, grade ${p.pumping_grade}`],
    [
      "Fluid in the loop",
      `${printQuantity(p.volume_m3, "liquid", s, 0)}, of it ${printQuantity(p.antifreeze_m3, "liquid", s, 0)} ${d.fluid.replaceAll("_", " ")}`,
    ],
    ["Freezes at", printQuantity(d.fluid_freeze_degc, "temperature", s)],
    [
      "To purge the air",
      `${printQuantity(p.purge_flow_m3_s, "liquid_flow", s)} at ${printQuantity(p.purge_head_m, "length", s, 1)} of head`,
    ],
  ];
  return (
    <details class="hydraulics">
      <summary>Pipes, pump and fluid</summary>
      <dl class="numbers">
        {rows.map(([k, v]) => (
          <div key={k}>
            <dt>{k}</dt>
            <dd>{v}</dd>
          </div>
        ))}
      </dl>
    </details>
  );
}
