// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// One year of water temperature beside the last one, and where the year's energy comes from and goes.
import uPlot from "uplot";
import { useEffect, useRef, useState } from "preact/hooks";
import { MONTHS, monthAt, type Loop } from "../design";
import { loop, month, system, dark } from "../state";
import { fromSi, printQuantity, unitOf } from "../units";
import { Bar, Picture } from "./bars";
import { useSize } from "./size";

const FONT = '12px "Source Sans 3", "Source Sans Pro", Candara, "Noto Sans", sans-serif';

function YearChart({ l, year }: { l: Loop; year: number }) {
  const [ref, size] = useSize<HTMLDivElement>();
  const host = useRef<HTMLDivElement>(null);
  const [said, setSaid] = useState("Move over the chart to read a month.");
  const s = system.value;
  const shade = dark.value;
  useEffect(() => {
    if (host.current === null || size.wide < 80) {
      return;
    }
    const css = getComputedStyle(document.documentElement);
    const ink = (n: string): string => css.getPropertyValue(n).trim();
    const unit = unitOf("temperature", s);
    const all = l.entering_water.months_mean_least_greatest_degc;
    const rows = all.slice((year - 1) * 12, year * 12);
    const first = all.slice(0, 12);
    const axis = {
      stroke: ink("--ink-2"),
      font: FONT,
      grid: { stroke: ink("--line"), width: 1 },
      ticks: { stroke: ink("--line"), width: 1, size: 4 },
    };
    const column = (k: 0 | 1 | 2): number[] => rows.map((r) => fromSi(r[k], unit));
    const t = (x: number | undefined): string => (x === undefined ? "" : printQuantity(x, "temperature", s));
    const chart = new uPlot(
      {
        width: size.wide,
        height: Math.max(160, size.high),
        padding: [12, 14, 0, 0],
        legend: { show: false },
        cursor: { y: false, points: { size: 7 }, drag: { x: false, y: false } },
        scales: { x: { time: false, range: [-0.3, 11.3] } },
        axes: [
          {
            ...axis,
            splits: () => rows.map((_, i) => i),
            values: (_u, v) => v.map((i) => (MONTHS[(l.entering_water.first_month - 1 + i) % 12] ?? "").slice(0, 3)),
          },
          { ...axis, size: 56, values: (_u, v) => v.map((x) => `${x < 0 ? "\u2212" : ""}${Math.abs(x)}\u00a0${unit.label}`) },
        ],
        series: [
          {},
          { stroke: ink("--ink-2"), width: 1, dash: [2, 3], points: { show: false } },
          { stroke: ink("--ink-2"), width: 1, dash: [2, 3], points: { show: false } },
          { stroke: ink("--ink"), width: 2.5, points: { show: true, size: 5, fill: ink("--paper") } },
          { stroke: ink("--accent"), width: 1.5, dash: [7, 4], points: { show: false } },
        ],
        bands: [{ series: [1, 2], fill: ink("--band") }],
        hooks: {
          setCursor: [
            (u) => {
              const i = u.cursor.idx;
              const row = i == null ? undefined : rows[i];
              setSaid(
                row === undefined
                  ? "Move over the chart to read a month."
                  : `${MONTHS[(l.entering_water.first_month - 1 + (i ?? 0)) % 12]}: mean ${t(row[0])}, from ${t(row[1])} to ${t(row[2])}; in year 1 the mean is ${t(first[i ?? 0]?.[0])}`,
              );
            },
          ],
          draw: [
            (u) => {
              const y = u.valToPos(fromSi(0, unit), "y", true);
              const { left, width, top, height } = u.bbox;
              if (y >= top && y <= top + height) {
                u.ctx.save();
                u.ctx.strokeStyle = ink("--ink");
                u.ctx.lineWidth = 1.25 * devicePixelRatio;
                u.ctx.setLineDash([]);
                u.ctx.beginPath();
                u.ctx.moveTo(left, y);
                u.ctx.lineTo(left + width, y);
                u.ctx.stroke();
                u.ctx.restore();
              }
            },
          ],
        },
      },
      [rows.map((_, i) => i), column(2), column(1), column(0), first.map((r) => fromSi(r[0], unit))],
      host.current,
    );
    return () => chart.destroy();
  }, [l, year, s, shade, size.wide, size.high]);
  return (
    <>
      <p class="picture-note">{said}</p>
      <div class="year-chart" ref={ref}>
        <div ref={host} role="img" aria-label={`Monthly water temperature of year ${year}, beside year 1`} />
      </div>
      <p class="key">
        <span class="key-line solid" /> mean <span class="key-line dotted" /> least and greatest <span class="key-line dashed" />{" "}
        mean of year 1
      </p>
    </>
  );
}

export function EnergyBars({ l }: { l: Loop }) {
  const s = system.value;
  const e = l.first_year;
  const rows: [string, number, "own" | "plain"][] = [
    ["Heat for rooms", e.heating_j, "plain"],
    ["Heat for hot water", e.hot_water_j, "plain"],
    ["Heat from the ground", e.ground_j, "own"],
    ["Compressor", e.compressor_j, "plain"],
    ["Fan (blower)", e.blower_j, "plain"],
    ["Loop pump (circulator)", e.circulator_j, "plain"],
    ["Auxiliary heat", e.auxiliary_j, "plain"],
  ];
  const most = Math.max(...rows.map((r) => r[1]), 1);
  return (
    <table class="losses">
      <thead class="unseen">
        <tr>
          <th scope="col">What</th>
          <th scope="col">First year</th>
        </tr>
      </thead>
      <tbody>
        {rows.map(([name, j, kind]) => (
          <tr key={name}>
            <th scope="row">{name}</th>
            <td>
              <Bar part={j / most} kind={kind} />
              <span class="figure">{printQuantity(j, "energy", s, 0)}</span>
            </td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}

export function WaterPicture() {
  const l = loop.value;
  if (l === null) {
    return (
      <Picture title="Water through the year">
        <p class="empty">No answer yet. Mend the inputs marked in the list on the left.</p>
      </Picture>
    );
  }
  const year = monthAt(month.value, l.entering_water.first_month).year;
  return (
    <>
      <Picture title={`Water through year ${year} of operation`}>
        <YearChart l={l} year={year} />
      </Picture>
      <Picture title="Energy of the first year">
        <EnergyBars l={l} />
      </Picture>
    </>
  );
}
