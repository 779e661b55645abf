// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// The time strip: water into the heat pump, month by month over the horizon. The curve is the scrubber.
import uPlot from "uplot";
import { useEffect, useRef, useState } from "preact/hooks";
import { colourAt, scaleFor } from "../colour";
import { csvText, fileName, saveFile } from "../csv";
import { coldestMonth, monthAt, type Loop } from "../design";
import { loop, month, stale, system, dark } from "../state";
import { fromSi, printQuantity, unitOf, type System } from "../units";
import { useSize } from "./size";

const PLAY_MS = 10000;
const FONT = '12px "Source Sans 3", "Source Sans Pro", Candara, "Noto Sans", sans-serif';

function ink(name: string): string {
  return getComputedStyle(document.documentElement).getPropertyValue(name).trim();
}

/** Colours by height: a gradient over the plot with the same scale as the lot. */
function gradient(u: uPlot, l: Loop, s: System, alpha: number): CanvasGradient | string {
  const scale = scaleFor(l.entering_water.coldest.degc, l.entering_water.warmest.degc);
  const unit = unitOf("temperature", s);
  const y0 = u.valToPos(fromSi(scale.low_degc, unit), "y", true);
  const y1 = u.valToPos(fromSi(scale.high_degc, unit), "y", true);
  if (!Number.isFinite(y0) || !Number.isFinite(y1)) {
    return "gray";
  }
  const g = u.ctx.createLinearGradient(0, y0, 0, y1);
  for (let i = 0; i <= 10; i++) {
    g.addColorStop(i / 10, colourAt(i / 10, dark.value).replace(")", ` / ${alpha})`));
  }
  return g;
}

function drawLine(u: uPlot, value: number, colour: string, options: { dash: number[]; label: string; below?: boolean }): void {
  const y = u.valToPos(value, "y", true);
  const { left, width, top, height } = u.bbox;
  if (y < top - 1 || y > top + height + 1) {
    return;
  }
  const { ctx } = u;
  const ratio = devicePixelRatio;
  ctx.save();
  ctx.strokeStyle = colour;
  ctx.fillStyle = colour;
  ctx.lineWidth = 1.25 * ratio;
  ctx.setLineDash(options.dash.map((d) => d * ratio));
  ctx.beginPath();
  ctx.moveTo(left, y);
  ctx.lineTo(left + width, y);
  ctx.stroke();
  ctx.font = FONT.replace("12px", `${12 * ratio}px`);
  ctx.textAlign = "left";
  haloText(ctx, options.label, left + 6 * ratio, y + (options.below === true ? 13 : -4) * ratio);
  ctx.restore();
}

/** Text with a margin of paper around it, so that it reads over a curve. */
function haloText(ctx: CanvasRenderingContext2D, text: string, x: number, y: number): void {
  ctx.setLineDash([]);
  ctx.textBaseline = "alphabetic";
  ctx.lineWidth = 4 * devicePixelRatio;
  ctx.lineJoin = "round";
  ctx.strokeStyle = ink("--paper");
  ctx.strokeText(text, x, y);
  ctx.fillText(text, x, y);
}

function drawColdest(u: uPlot, l: Loop, s: System): void {
  const rows = l.entering_water.months_mean_least_greatest_degc;
  const i = coldestMonth(rows);
  const unit = unitOf("temperature", s);
  const x = u.valToPos(i, "x", true);
  const y = u.valToPos(fromSi(rows[i]?.[1] ?? 0, unit), "y", true);
  const r = devicePixelRatio;
  const { ctx } = u;
  ctx.save();
  ctx.fillStyle = ink("--ink");
  ctx.beginPath();
  ctx.moveTo(x, y);
  ctx.lineTo(x - 5 * r, y + 9 * r);
  ctx.lineTo(x + 5 * r, y + 9 * r);
  ctx.closePath();
  ctx.fill();
  ctx.font = FONT.replace("12px", `${12 * r}px`);
  const late = x > u.bbox.left + u.bbox.width * 0.75;
  ctx.textAlign = late ? "right" : "left";
  haloText(ctx, "coldest", x + (late ? -8 : 8) * r, y + 10 * r);
  ctx.restore();
}

function options(l: Loop, s: System, size: { wide: number; high: number }): uPlot.Options {
  const unit = unitOf("temperature", s);
  const rows = l.entering_water.months_mean_least_greatest_degc;
  const limit = l.verdicts.find((v) => v.what === "coldest entering water")?.at_least;
  const grid = { stroke: ink("--line"), width: 1 };
  const axis = { stroke: ink("--ink-2"), font: FONT, grid, ticks: { stroke: ink("--line"), width: 1, size: 4 } };
  const lowest = Math.min(l.entering_water.coldest.degc, limit ?? 0, 0);
  return {
    width: size.wide,
    height: size.high,
    padding: [8, 10, 0, 0],
    legend: { show: false },
    cursor: { show: false },
    scales: {
      x: { time: false, range: [0, rows.length - 1] },
      y: { range: () => [fromSi(lowest - 2, unit), fromSi(l.entering_water.warmest.degc + 1, unit)] },
    },
    axes: [
      {
        ...axis,
        size: 26,
        gap: 4,
        splits: (u) => yearSplits(u, rows.length),
        values: (_u, v) => v.map((m) => (m === 0 ? "year 1" : String(Math.round(m / 12) + 1))),
      },
      {
        ...axis,
        size: 52,
        gap: 5,
        space: 26,
        values: (_u, v) => v.map((t) => `${t < 0 ? "\u2212" : ""}${Math.abs(t)}\u00a0${unit.label}`),
      },
    ],
    series: [
      {},
      { stroke: "transparent", width: 0, points: { show: false } },
      { stroke: "transparent", width: 0, points: { show: false } },
      { stroke: (u) => gradient(u, l, s, 1), width: 2, points: { show: false } },
    ],
    bands: [{ series: [1, 2], fill: (u) => gradient(u, l, s, 0.38) }],
    hooks: {
      draw: [
        (u) => {
          drawLine(u, fromSi(0, unit), ink("--ink"), { dash: [], label: "water freezes" });
          if (limit != null && Math.abs(limit) > 0.05) {
            drawLine(u, fromSi(limit, unit), ink("--accent"), { dash: [6, 4], label: "limit", below: limit < 0 });
          }
          drawColdest(u, l, s);
        },
      ],
    },
  };
}

function yearSplits(u: uPlot, months: number): number[] {
  const years = months / 12;
  const most = Math.max(2, Math.floor(u.width / 70));
  const step = [1, 2, 5, 10, 20].find((k) => years / k <= most) ?? 20;
  const splits = [0];
  for (let y = step === 1 ? 2 : step; y <= years; y += step) {
    splits.push((y - 1) * 12);
  }
  return splits;
}

function useChart(l: Loop | null, size: { wide: number; high: number }) {
  const host = useRef<HTMLDivElement>(null);
  const chart = useRef<uPlot | null>(null);
  const s = system.value;
  const shade = dark.value;
  useEffect(() => {
    if (l === null || host.current === null || size.wide < 80) {
      return;
    }
    const unit = unitOf("temperature", s);
    const rows = l.entering_water.months_mean_least_greatest_degc;
    const column = (k: 0 | 1 | 2): number[] => rows.map((r) => fromSi(r[k], unit));
    const made = new uPlot(options(l, s, size), [rows.map((_, i) => i), column(2), column(1), column(0)], host.current);
    chart.current = made;
    const redraw = (): void => made.redraw();
    void document.fonts.ready.then(redraw);
    return () => {
      made.destroy();
      chart.current = null;
    };
  }, [l, s, shade, size.wide, size.high]);
  return { host };
}

function usePlay(months: number) {
  const frame = useRef(0);
  const [playing, setPlaying] = useState(false);
  const stop = (): void => {
    setPlaying(false);
    cancelAnimationFrame(frame.current);
  };
  const start = (): void => {
    const from = month.value >= months - 1 ? 0 : month.value;
    const begun = performance.now();
    setPlaying(true);
    const step = (now: number): void => {
      const at = from + ((now - begun) / PLAY_MS) * months;
      month.value = Math.min(months - 1, Math.floor(at));
      if (at < months - 1) {
        frame.current = requestAnimationFrame(step);
      } else {
        setPlaying(false);
      }
    };
    frame.current = requestAnimationFrame(step);
  };
  useEffect(() => () => cancelAnimationFrame(frame.current), []);
  return { toggle: () => (playing ? stop() : start()), stop, playing };
}

function saveMonths(l: Loop, s: System): void {
  const unit = unitOf("temperature", s);
  const rows = l.entering_water.months_mean_least_greatest_degc.map((r, i) => {
    const at = monthAt(i, l.entering_water.first_month);
    return [at.year, at.name, ...r.map((t) => Number(fromSi(t, unit).toFixed(3)))];
  });
  saveFile(
    fileName(l.name, "-water.csv"),
    csvText(["year of operation", "month", `mean ${unit.label}`, `least ${unit.label}`, `greatest ${unit.label}`], rows),
  );
}

const LEFT = 52; // of the plot inside the chart, as its axis says
const RIGHT = 10;

export function Strip() {
  const [ref, size] = useSize<HTMLDivElement>();
  const l = loop.value;
  const months = l?.entering_water.months_mean_least_greatest_degc.length ?? 0;
  const { host } = useChart(l, { wide: Math.floor(size.wide), high: Math.floor(size.high) });
  const play = usePlay(months);
  const s = system.value;
  if (l === null) {
    return (
      <section class="strip empty" aria-label="Water temperature over the years">
        <div class="strip-plot" ref={ref} />
      </section>
    );
  }
  const at = Math.min(month.value, months - 1);
  const row = l.entering_water.months_mean_least_greatest_degc[at] ?? [0, 0, 0];
  const now = monthAt(at, l.entering_water.first_month);
  const t = (x: number): string => printQuantity(x, "temperature", s);
  const span = Math.max(1, size.wide - LEFT - RIGHT);
  const left = LEFT + (at / Math.max(1, months - 1)) * span;
  const pick = (e: PointerEvent): void => {
    const box = (e.currentTarget as Element).getBoundingClientRect();
    play.stop();
    month.value = Math.round(Math.min(1, Math.max(0, (e.clientX - box.left - LEFT) / span)) * (months - 1));
  };
  const onKey = (e: KeyboardEvent): void => {
    const step: Record<string, number> = {
      ArrowLeft: -1,
      ArrowDown: -1,
      ArrowRight: 1,
      ArrowUp: 1,
      PageDown: -12,
      PageUp: 12,
      Home: -months,
      End: months,
    };
    const by = step[e.key];
    if (by !== undefined) {
      e.preventDefault();
      play.stop();
      month.value = Math.min(months - 1, Math.max(0, at + by));
    }
  };
  const said = `${now.name} of year ${now.year}: mean ${t(row[0])}, from ${t(row[1])} to ${t(row[2])}`;
  return (
    <section class={stale.value ? "strip stale" : "strip"} aria-label="Water temperature over the years">
      <div class="strip-head">
        <h2>
          Water into the heat pump <span class="term">(entering water temperature)</span>
        </h2>
        <p class="strip-said">{said}</p>
        <span class="spacer" />
        <button
          type="button"
          class="quiet"
          onClick={() => (month.value = coldestMonth(l.entering_water.months_mean_least_greatest_degc))}
        >
          Coldest month
        </button>
        <button type="button" class="quiet" onClick={play.toggle}>
          {play.playing ? "Pause" : "Play"}
        </button>
        <button type="button" class="quiet" onClick={() => saveMonths(l, s)}>
          CSV
        </button>
      </div>
      <div class="strip-plot" ref={ref}>
        <div ref={host} aria-hidden="true" />
        <div
          class="scrubber"
          role="slider"
          tabIndex={0}
          aria-label="Month shown on the lot"
          aria-valuemin={0}
          aria-valuemax={months - 1}
          aria-valuenow={at}
          aria-valuetext={said}
          onKeyDown={onKey}
          onPointerDown={(e) => {
            (e.currentTarget as Element).setPointerCapture(e.pointerId);
            pick(e);
          }}
          onPointerMove={(e) => {
            if (e.buttons > 0) pick(e);
          }}
        >
          <div class="handle" style={{ left: `${left}px` }} />
        </div>
      </div>
    </section>
  );
}
