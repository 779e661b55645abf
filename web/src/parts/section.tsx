// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// The ground in section at one scale up and across: surface, layers as stated, bores or trenches.
import { isDig, type Loop } from "../design";
import { cutOf, stackLayers, type Cut, type Layer } from "../geometry/section";
import { ticks } from "../geometry/ticks";
import type { Point } from "../geometry/vec";
import { scaleFor, temperatureColour } from "../colour";
import { choiceLabel } from "../words";
import { dark, doc, lists, loop, loopIndex, month, system } from "../state";
import { getAt, isObject, type Json } from "../json";
import { fromSi, printNumber, printQuantity, readQuantity, unitOf } from "../units";
import { Dim } from "./drafting";
import { useSize } from "./size";

const MARGIN = { left: 54, right: 26, top: 34, bottom: 30 };

function soilName(soil: Json | undefined, other: string): string {
  const id = isObject(soil) ? soil["class"] : undefined;
  if (typeof id !== "string") {
    return isObject(soil) ? "ground by its measured values" : other;
  }
  const row = (lists.value["soils"] ?? []).find((r) => r["id"] === id);
  return typeof row?.["name"] === "string" ? row["name"] : choiceLabel(id);
}

/** Layers as the job states them: the log, or overburden on rock, or one soil. */
function layersOf(l: Loop, index: number, foot_m: number): Layer[] {
  const ground = getAt(doc.value, ["ground"]);
  const log = getAt(ground, ["layers"]);
  const soil = soilName(getAt(ground, ["soil"]), "soil (default)");
  if (l.plan.kind === "pond") {
    return [
      { from_m: 0, to_m: l.plan.depth_m, name: "water" },
      { from_m: l.plan.depth_m, to_m: foot_m, name: "bottom of the pond" },
    ];
  }
  if (isDig(l.plan)) {
    return stackLayers([{ name: soil, thickness_m: foot_m }], foot_m);
  }
  if (Array.isArray(log) && log.length > 0) {
    return stackLayers(
      log.map((x) => ({
        name: soilName(getAt(x, ["soil"]), "layer"),
        thickness_m: readQuantity(getAt(x, ["thickness_m"])) ?? foot_m,
      })),
      foot_m,
    );
  }
  const rock = getAt(ground, ["rock"]);
  if (rock === undefined) {
    return stackLayers([{ name: soil, thickness_m: foot_m }], foot_m);
  }
  const over = readQuantity(getAt(doc.value, ["loops", index, "bores", "rock_depth_m"])) ?? 5;
  return stackLayers(
    [
      { name: "overburden", thickness_m: over },
      { name: soilName(rock, "rock"), thickness_m: foot_m },
    ],
    foot_m,
  );
}

type Frame = { to: (p: Point) => Point; scale: number; left: number; right: number; top: number; foot: number };

function frameOf(cut: Cut, foot_m: number, wide: number, high: number): Frame {
  const w = wide - MARGIN.left - MARGIN.right;
  const h = high - MARGIN.top - MARGIN.bottom;
  const span = Math.max(cut.along[1] - cut.along[0], 1) * 1.15;
  const scale = Math.min(w / span, h / foot_m);
  const middle = (cut.along[0] + cut.along[1]) / 2;
  // Bores stand to the left where there is room, so that the names of the layers stand free on the right.
  const slack = w - span * scale;
  const cx = MARGIN.left + w / 2 - (cut.kind === "bores" ? Math.max(0, slack) * 0.36 : 0);
  return {
    scale,
    left: MARGIN.left,
    right: wide - MARGIN.right,
    top: MARGIN.top,
    foot: MARGIN.top + foot_m * scale,
    to: ([x, z]) => [cx + (x - middle) * scale, MARGIN.top + z * scale],
  };
}

const TEXTURES = ["url(#dots)", "url(#rock)", "url(#dashes)"];

/** Soft ground dotted, rock ticked; a third texture tells a third layer from its neighbours. */
function texture(name: string, i: number): string {
  if (name === "water") return "none";
  if (/rock|granite|stone|basalt|gneiss|shale|slate|marble|dolom|quartz/i.test(name)) return TEXTURES[1] ?? "";
  if (/clay|silt/i.test(name)) return TEXTURES[2] ?? "";
  return TEXTURES[i === 0 ? 0 : 2] ?? "";
}

function Textures() {
  return (
    <defs>
      <pattern id="dots" width="14" height="14" patternUnits="userSpaceOnUse">
        <circle class="texture-dot" cx="3" cy="4" r="1" />
        <circle class="texture-dot" cx="10" cy="11" r="1" />
      </pattern>
      <pattern id="dashes" width="20" height="12" patternUnits="userSpaceOnUse">
        <path class="texture" d="M2 3h7M12 9h6" />
      </pattern>
      <pattern id="rock" width="26" height="22" patternUnits="userSpaceOnUse">
        <path class="texture" d="M4 8l4 -4l4 4M16 18l4 -4l4 4" />
      </pattern>
    </defs>
  );
}

function Shafts({ cut, f, colour }: { cut: Cut; f: Frame; colour: string }) {
  return (
    <g class="shafts">
      {cut.shafts.map((s, i) => {
        const [a, b] = [f.to(s.from), f.to(s.to)];
        return (
          <g key={i}>
            <line class="casing" x1={a[0]} y1={f.top} x2={a[0]} y2={a[1]} />
            <line class="shaft-edge" x1={a[0]} y1={a[1]} x2={b[0]} y2={b[1]} />
            <line class="shaft" x1={a[0]} y1={a[1]} x2={b[0]} y2={b[1]} stroke={colour} />
          </g>
        );
      })}
    </g>
  );
}

function Digs({ cut, f, colour }: { cut: Cut; f: Frame; colour: string }) {
  return (
    <g class="digs">
      {cut.digs.map((d, i) => {
        const [a, b] = [f.to([d.box.x0, 0]), f.to([d.box.x1, d.box.y1])];
        return (
          <g key={i}>
            <path class="dig" d={`M${a[0]} ${a[1]}V${b[1]}H${b[0]}V${a[1]}`} />
            {d.pipes.map((p, k) => {
              const c = f.to(p);
              return <circle key={k} class="pipe-end" cx={c[0]} cy={c[1]} r={Math.max(4, 0.0133 * f.scale)} fill={colour} />;
            })}
          </g>
        );
      })}
    </g>
  );
}

export function Section() {
  const [ref, size] = useSize<HTMLDivElement>();
  const l = loop.value;
  if (l === null || size.wide < 60 || size.high < 60) {
    return <div class="section" ref={ref} />;
  }
  const s = system.value;
  const cut = cutOf(l.lines_m, l.plan, size.wide < 500 ? 2 : 4);
  const foot = cut.kind === "bores" ? cut.depth_m * 1.06 : cut.depth_m + 0.5;
  const f = frameOf(cut, foot, size.wide, size.high);
  const layers = layersOf(l, loopIndex.value, foot);
  const rows = l.entering_water.months_mean_least_greatest_degc;
  const scale = scaleFor(l.entering_water.coldest.degc, l.entering_water.warmest.degc);
  const colour = temperatureColour(rows[Math.min(month.value, rows.length - 1)]?.[0] ?? 0, scale, dark.value);
  const unit = unitOf("length", s);
  const marks = ticks(0, fromSi(foot, unit), Math.max(2, Math.floor((f.foot - f.top) / 46)));
  const first = [...cut.shafts].sort((a, b) => b.to[0] - a.to[0])[0]; // the one farthest right carries the dimension
  const dig = cut.digs[0];
  const label = (m: number): string => printQuantity(m, "length", s);
  return (
    <div class="section" ref={ref}>
      <svg width={size.wide} height={size.high} role="img" aria-label={`Section of the ground to scale, ${label(foot)} deep.`}>
        <Textures />
        {layers.map((y, i) => {
          const top = f.top + y.from_m * f.scale;
          const high = (y.to_m - y.from_m) * f.scale;
          return (
            <g key={i}>
              <rect
                class={y.name === "water" ? "layer water" : `layer layer-${i % 3}`}
                x={f.left}
                y={top}
                width={f.right - f.left}
                height={high}
              />
              <rect fill={texture(y.name, i)} x={f.left} y={top} width={f.right - f.left} height={high} />
              {i > 0 && <line class="layer-line" x1={f.left} x2={f.right} y1={top} y2={top} />}
            </g>
          );
        })}
        <g class="depth-axis">
          {marks.map((m) => (
            <g key={m}>
              <line x1={f.left - 5} x2={f.left} y1={f.top + m * unit.si * f.scale} y2={f.top + m * unit.si * f.scale} />
              <text x={f.left - 9} y={f.top + m * unit.si * f.scale + 4} text-anchor="end">
                {printNumber(m, m % 1 === 0 ? 0 : 1)}
              </text>
            </g>
          ))}
          <text x={f.left - 9} y={f.top - 14} text-anchor="end">
            {unit.label}
          </text>
        </g>
        <line class="surface" x1={f.left} x2={f.right} y1={f.top} y2={f.top} />
        {cut.waters.map((z) => (
          <g key={z} class="water-level">
            <line x1={f.left} x2={f.right} y1={f.top + z * f.scale} y2={f.top + z * f.scale} />
            {z > 0 && (
              <text class="halo" x={f.left + 8} y={f.top + z * f.scale - 6}>
                {`${cut.kind === "pond" ? "bundles at" : "water at"} ${label(z)}`}
              </text>
            )}
          </g>
        ))}
        <Shafts cut={cut} f={f} colour={colour} />
        <Digs cut={cut} f={f} colour={colour} />
        {first !== undefined && <Dim a={f.to([first.to[0], 0])} b={f.to(first.to)} away={18} label={label(first.to[1])} />}
        {dig !== undefined && (
          <Dim a={f.to([dig.box.x1, 0])} b={f.to([dig.box.x1, dig.box.y1])} away={18} label={label(dig.box.y1)} />
        )}
        {dig !== undefined && (
          <Dim a={f.to([dig.box.x0, 0])} b={f.to([dig.box.x1, 0])} away={8} label={label(dig.box.x1 - dig.box.x0)} />
        )}
        {layers.map((y, i) => {
          const [top, high] = [f.top + y.from_m * f.scale, (y.to_m - y.from_m) * f.scale];
          const low = cut.kind === "trench";
          const name = size.wide < 420 ? y.name.replace(/ \(.*\)$/, "") : y.name;
          return high > 16 ? (
            <text
              key={i}
              class="halo layer-name"
              x={f.right - 8}
              y={low ? f.foot + 18 : top + Math.min(18, high - 4)}
              text-anchor="end"
            >
              {name}
            </text>
          ) : null;
        })}
        {cut.hidden > 0 && (
          <text class="halo" x={f.right} y={f.top - 12} text-anchor="end">{`and ${cut.hidden} more like these`}</text>
        )}
      </svg>
    </div>
  );
}
