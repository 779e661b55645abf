// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// The lot to true scale, in plan; the loop carries the temperature of its water in the month of the time strip.
import { useMemo, useState, useRef } from "preact/hooks";
import { layOutLot, type Feature, type Lot, type LotInput, type Site } from "../geometry/lot";
import type { Box, Point } from "../geometry/vec";
import { boxOf, centre, height, width } from "../geometry/vec";
import { betterTurned, fitScale, makeView, screenBox, STILL, zoomAbout, type Pan, type Size, type View } from "../geometry/view";
import { scaleFor, temperatureColour } from "../colour";
import { isDig, monthAt, type Loop } from "../design";
import { firstOf, thing } from "../plans";
import { dark, doc, loop, month, system } from "../state";
import { getAt, isObject, type Json } from "../json";
import { printNumber, fromSi, printQuantity, readQuantity, unitOf } from "../units";
import { Dim, North, ScaleBar, TemperatureLegend } from "./drafting";
import { useSize } from "./size";

const MARGIN = { left: 56, right: 44, top: 40, bottom: 62 };

const quantity = (path: (string | number)[]): number | null => readQuantity(getAt(doc.value, path));

/** Side of a square of the area the house covers: its floor below or roof above, else floor area per storey. */
function houseSide(): number {
  const parts = getAt(doc.value, ["house", "envelope"]);
  const area = (kind: string): number =>
    (Array.isArray(parts) ? parts : [])
      .filter((p: Json) => isObject(p) && p["kind"] === kind)
      .reduce<number>((sum, p) => sum + (readQuantity((p as Record<string, Json>)["area_m2"]) ?? 0), 0);
  const storeys = quantity(["house", "storeys"]) ?? 1;
  const cover = area("slab") || area("basement_floor") || area("roof") || (quantity(["house", "floor_area_m2"]) ?? 100) / storeys;
  return Math.sqrt(cover);
}

function pointOf(p: Json | undefined): Point | null {
  const [x, y] = [readQuantity(getAt(p, ["x_m"])), readQuantity(getAt(p, ["y_m"]))];
  return x === null || y === null ? null : [x, y];
}

const pointsOf = (list: Json | undefined): Point[] =>
  (Array.isArray(list) ? list : []).map(pointOf).filter((p): p is Point => p !== null);

function featureOf(f: Json): Feature {
  const text = (key: string, otherwise: string): string => {
    const said = getAt(f, [key]);
    return typeof said === "string" && said !== "" ? said : otherwise;
  };
  const shape = text("shape", "polygon");
  const kind = text("kind", "building");
  return {
    kind,
    name: text("name", kind.replaceAll("_", " ")),
    shape: shape === "line" || shape === "circle" ? shape : "polygon",
    points: pointsOf(getAt(f, ["points"])),
    radius_m: readQuantity(getAt(f, ["radius_m"])) ?? 0,
  };
}

/** The surveyed lot of the job, when it has a boundary. */
function siteOf(): Site | null {
  const lot = getAt(doc.value, ["lot"]) ?? getAt(doc.value, ["site", "lot"]);
  const boundary = pointsOf(getAt(lot, ["boundary"]));
  if (boundary.length < 3) {
    return null;
  }
  const features = getAt(lot, ["features"]);
  return {
    boundary,
    entry: pointOf(getAt(lot, ["entry"])),
    features: (Array.isArray(features) ? features : []).map(featureOf).filter((f) => f.points.length > 0),
  };
}

export function lotInput(l: Loop): LotInput {
  return {
    lines_m: l.lines_m,
    plan: l.plan,
    land_length_m: l.land_length_m,
    land_width_m: l.land_width_m,
    usable_length_m: quantity(["site", "usable_length_m"]),
    usable_width_m: quantity(["site", "usable_width_m"]),
    entry_distance_m:
      l.plan.kind === "pond" || l.plan.kind === "well" ? l.plan.header_m : (quantity(["site", "entry_distance_m"]) ?? 10),
    house_side_m: houseSide(),
    site: siteOf(),
  };
}

/** Of the two places for the house, the one that lets the lot be drawn larger; trenches are met at their ends. */
function bestLot(input: LotInput, size: Size): Lot {
  const south = layOutLot(input, "south");
  const west = layOutLot(input, "west");
  if (isDig(input.plan)) {
    return height(south.field) >= width(south.field) ? south : west;
  }
  const best = (lot: Lot): number => Math.max(fitScale(lot.bounds, size, false), fitScale(lot.bounds, size, true) / 1.15);
  return best(west) > best(south) ? west : south;
}

const points = (view: View, run: readonly Point[]): string =>
  run
    .map((p) =>
      view
        .to(p)
        .map((v) => v.toFixed(1))
        .join(","),
    )
    .join(" ");

function Pipes({ lot, view, colour }: { lot: Lot; view: View; colour: string }) {
  const near = lot.collars.length > 1 ? view.scale * 2.6 : 99;
  const numbered = lot.collars.length <= 30 && near > 14;
  return (
    <g class="pipes">
      {lot.trenches.map((t, i) => (
        <g key={i}>
          <rect class="trench-cut" {...screenBox(view, t.box)} />
          {t.lines.map((l, k) => {
            const a = view.to([l[0], l[1]]);
            const b = view.to([l[3], l[4]]);
            return <line key={k} class="pipe" x1={a[0]} y1={a[1]} x2={b[0]} y2={b[1]} stroke={colour} />;
          })}
        </g>
      ))}
      {lot.collars.map((c, i) => {
        const [x, y] = view.to(c.at);
        const foot = view.to(c.foot);
        const leans = Math.hypot(foot[0] - x, foot[1] - y) > 3;
        return (
          <g key={i} class="bore">
            {leans && <line class="lean" x1={x} y1={y} x2={foot[0]} y2={foot[1]} />}
            {leans && <circle class="foot" cx={foot[0]} cy={foot[1]} r="3" />}
            <circle cx={x} cy={y} r="7" fill={colour} />
            <path d={`M${x - 11} ${y}h22M${x} ${y - 11}v22`} />
            {c.name !== undefined ? (
              <text class="halo" x={x} y={y + 28} text-anchor="middle">
                {c.name}
              </text>
            ) : numbered ? (
              <text class="halo" x={x + 9} y={y - 9}>
                {i + 1}
              </text>
            ) : null}
          </g>
        );
      })}
    </g>
  );
}

function Dimensions({ lot, view }: { lot: Lot; view: View }) {
  const s = system.value;
  const label = (m: number): string => printQuantity(m, "length", s);
  const dims = [];
  if (lot.ground !== null && lot.house !== null) {
    const g = screenBox(view, lot.ground);
    const [w, h] = view.turned ? [height(lot.ground), width(lot.ground)] : [width(lot.ground), height(lot.ground)];
    const house = screenBox(view, lot.house);
    const houseAbove = house.y + house.height <= g.y + 1;
    dims.push(
      houseAbove ? (
        <Dim key="w" a={[g.x, g.y + g.height]} b={[g.x + g.width, g.y + g.height]} away={-22} label={`${label(w)} free`} />
      ) : (
        <Dim key="w" a={[g.x, g.y]} b={[g.x + g.width, g.y]} away={22} label={`${label(w)} free`} />
      ),
    );
    const houseLeft = house.x + house.width <= g.x + 1;
    dims.push(
      houseLeft ? (
        <Dim key="h" a={[g.x + g.width, g.y + g.height]} b={[g.x + g.width, g.y]} away={-22} label={`${label(h)} free`} />
      ) : (
        <Dim key="h" a={[g.x, g.y + g.height]} b={[g.x, g.y]} away={22} label={`${label(h)} free`} />
      ),
    );
  }
  if (lot.house !== null) {
    const free = lot.ground ?? lot.field;
    const gap = lot.houseSide === "south" ? free.y0 - lot.house.y1 : free.x0 - lot.house.x1;
    const [x, y] = lot.entry;
    dims.push(
      <Dim
        key="e"
        a={view.to(lot.entry)}
        b={view.to(lot.houseSide === "south" ? [x, y + gap] : [x + gap, y])}
        away={-16}
        label={label(gap)}
      />,
    );
  }
  const pair: [Point, Point] | null =
    lot.collars.length > 1
      ? [lot.collars[0]!.at, lot.collars[1]!.at]
      : lot.trenches.length > 1
        ? [
            [(lot.trenches[0]!.box.x0 + lot.trenches[0]!.box.x1) / 2, lot.trenches[0]!.box.y1],
            [(lot.trenches[1]!.box.x0 + lot.trenches[1]!.box.x1) / 2, lot.trenches[1]!.box.y1],
          ]
        : null;
  if (pair !== null) {
    const [a, b] = [view.to(pair[0]), view.to(pair[1])];
    const apart = Math.hypot(pair[1][0] - pair[0][0], pair[1][1] - pair[0][1]);
    if (Math.hypot(b[0] - a[0], b[1] - a[1]) > 26) {
      dims.push(<Dim key="s" a={a} b={b} away={20} label={label(apart)} />);
    }
  }
  if (lot.over_length_m > 0.05) {
    const f = screenBox(view, lot.field);
    const g = screenBox(view, lot.ground ?? lot.field);
    const alongX = f.width >= f.height;
    const text = `${label(lot.over_length_m)} too long`;
    const top = Math.min(f.y, g.y) - 46; // beyond the dimensions of the free ground
    const right = Math.max(f.x + f.width, g.x + g.width) + 46;
    dims.push(
      alongX ? (
        <Dim key="o" broken a={[f.x, top]} b={[f.x + f.width, top]} away={2} label={text} />
      ) : (
        <Dim key="o" broken a={[right, f.y]} b={[right, f.y + f.height]} away={2} label={text} />
      ),
    );
  }
  return <g>{dims}</g>;
}

/** Along a line, above a disc, in the middle of an outline. */
function labelPlace(f: Feature, at: Point, view: View): string {
  const [first, last] = [f.points[0], f.points[f.points.length - 1]];
  if (f.shape === "line" && first !== undefined && last !== undefined) {
    const [a, b] = [view.to(first), view.to(last)];
    const angle = (Math.atan2(b[1] - a[1], b[0] - a[0]) * 180) / Math.PI;
    return `translate(${at[0]} ${at[1]}) rotate(${angle > 90 || angle <= -90 ? angle + 180 : angle}) translate(0 -5)`;
  }
  const up = f.shape === "circle" ? -Math.max(4, f.radius_m * view.scale) - 4 : 4;
  return `translate(${at[0]} ${at[1] + up})`;
}

/** Boundary and features as they were surveyed; a name where there is room for it. */
function Survey({ site, view }: { site: Site; view: View }) {
  return (
    <g class="survey">
      <polygon class="boundary" points={points(view, site.boundary)} />
      {site.features.map((f, i) => {
        const at = view.to(centre(boxOf(f.points)));
        const kind = `feature feature-${f.kind}`;
        return (
          <g key={i}>
            {f.shape === "polygon" && <polygon class={kind} points={points(view, f.points)} />}
            {f.shape === "line" && (
              <polyline
                class="feature-line"
                stroke-width={Math.max(1.5, 2 * f.radius_m * view.scale)}
                points={points(view, f.points)}
              />
            )}
            {f.shape === "circle" && <circle class={kind} cx={at[0]} cy={at[1]} r={Math.max(4, f.radius_m * view.scale)} />}
            <text class="halo" text-anchor="middle" transform={labelPlace(f, at, view)}>
              {f.name}
            </text>
          </g>
        );
      })}
    </g>
  );
}

function House({ lot, house, view }: { lot: Lot; house: Box; view: View }) {
  const h = screenBox(view, house);
  const [ex, ey] = view.to(lot.entry);
  const roomy = h.width > 54 && h.height > 30;
  return (
    <g class="house">
      <rect {...h} fill="url(#hatch)" />
      <rect class="wall" {...h} />
      {roomy && <rect class="room" x={h.x + h.width / 2 - 24} y={h.y + h.height / 2 - 11} width="48" height="22" />}
      <text
        class={roomy ? "" : "halo"}
        x={h.x + h.width / 2}
        y={roomy ? h.y + h.height / 2 + 5 : h.y + h.height + 15}
        text-anchor="middle"
      >
        house
      </text>
      <circle class="entry" cx={ex} cy={ey} r="4" />
    </g>
  );
}

function usePan(size: Size) {
  const [pan, setPan] = useState<Pan>(STILL);
  const held = useRef(new Map<number, Point>());
  const middle: Point = [
    MARGIN.left + (size.wide - MARGIN.left - MARGIN.right) / 2,
    MARGIN.top + (size.high - MARGIN.top - MARGIN.bottom) / 2,
  ];
  const place = (e: PointerEvent | WheelEvent): Point => {
    const box = (e.currentTarget as Element).getBoundingClientRect();
    return [e.clientX - box.left, e.clientY - box.top];
  };
  const onPointerDown = (e: PointerEvent): void => {
    held.current.set(e.pointerId, place(e));
    (e.currentTarget as Element).setPointerCapture(e.pointerId);
  };
  const onPointerMove = (e: PointerEvent): Point => {
    const now = place(e);
    const before = held.current.get(e.pointerId);
    if (before !== undefined) {
      const others = [...held.current].filter(([id]) => id !== e.pointerId);
      const other = others[0]?.[1];
      if (other === undefined) {
        setPan((p) => ({ ...p, dx: p.dx + now[0] - before[0], dy: p.dy + now[1] - before[1] }));
      } else {
        const gap = (q: Point): number => Math.max(10, Math.hypot(q[0] - other[0], q[1] - other[1]));
        setPan((p) => zoomAbout(p, gap(now) / gap(before), other, middle));
      }
      held.current.set(e.pointerId, now);
    }
    return now;
  };
  const onPointerUp = (e: PointerEvent): void => void held.current.delete(e.pointerId);
  const onWheel = (e: WheelEvent): void => {
    e.preventDefault();
    const at = place(e);
    setPan((p) => zoomAbout(p, Math.exp(-e.deltaY * 0.0015), at, middle));
  };
  return { pan, setPan, middle, onPointerDown, onPointerMove, onPointerUp, onWheel };
}

export function LotPlan() {
  const [ref, size] = useSize<HTMLDivElement>();
  const hand = usePan(size);
  const [cursor, setCursor] = useState<Point | null>(null);
  const l = loop.value;
  const room: Size = {
    wide: Math.max(40, size.wide - MARGIN.left - MARGIN.right),
    high: Math.max(40, size.high - MARGIN.top - MARGIN.bottom),
  };
  const job = doc.value;
  const lot = useMemo(() => (l === null ? null : bestLot(lotInput(l), room)), [l, job, room.wide, room.high]);
  if (l === null || lot === null || size.wide === 0) {
    return (
      <div class="plan">
        <div class="plan-canvas" ref={ref} />
      </div>
    );
  }
  const view = makeView(lot.bounds, room, {
    turned: betterTurned(lot.bounds, room),
    offset: [MARGIN.left, MARGIN.top],
    pan: hand.pan,
  });
  const rows = l.entering_water.months_mean_least_greatest_degc;
  const scale = scaleFor(l.entering_water.coldest.degc, l.entering_water.warmest.degc);
  const row = rows[Math.min(month.value, rows.length - 1)];
  const colour = temperatureColour(row?.[0] ?? 0, scale, dark.value);
  const now = monthAt(month.value, l.entering_water.first_month);
  const s = system.value;
  const narrow = size.wide < 420;
  const barRoom = narrow ? 84 : 130;
  const unit = unitOf("length", s);
  const there = cursor === null ? null : view.from(cursor);
  const zero = lot.collars[0]?.at ?? [0, 0];
  const says = (m: number, plus: string, minus: string): string =>
    `${printNumber(Math.abs(fromSi(m, unit)), 1)} ${unit.label} ${m >= 0 ? plus : minus}`;
  const description = `Plan of the lot to scale. ${l.name}: ${l.plan.count} ${thing(l.plan)} on ${printQuantity(l.land_length_m, "length", s)} by ${printQuantity(l.land_width_m, "length", s)}.`;
  return (
    <div class="plan">
      <div class="plan-head">
        <p class="plan-note">{`Water in ${now.name} of year ${now.year}: ${row === undefined ? "not known" : printQuantity(row[0], "temperature", s)}`}</p>
        <div class="zoom" role="group" aria-label="Zoom">
          <button
            type="button"
            aria-label="Zoom in"
            onClick={() => hand.setPan((p) => zoomAbout(p, 1.4, hand.middle, hand.middle))}
          >
            +
          </button>
          <button
            type="button"
            aria-label="Zoom out"
            onClick={() => hand.setPan((p) => zoomAbout(p, 1 / 1.4, hand.middle, hand.middle))}
          >
            −
          </button>
          <button type="button" aria-label="Fit: show the whole lot" onClick={() => hand.setPan(STILL)}>
            fit
          </button>
        </div>
      </div>
      <div class="plan-canvas" ref={ref}>
        <svg
          width={size.wide}
          height={size.high}
          role="img"
          aria-label={description}
          onPointerDown={hand.onPointerDown}
          onPointerMove={(e) => setCursor(hand.onPointerMove(e))}
          onPointerUp={hand.onPointerUp}
          onPointerCancel={hand.onPointerUp}
          onPointerLeave={() => setCursor(null)}
          onWheel={hand.onWheel}
        >
          <defs>
            <pattern id="hatch" width="6" height="6" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">
              <line class="hatch-line" x1="0" y1="0" x2="0" y2="6" />
            </pattern>
            <pattern id="grass" width="22" height="22" patternUnits="userSpaceOnUse">
              <path class="grass-line" d="M4 9l1.5 -4M6 9l0 -5M8 9l-1 -4M15 20l1.5 -4M17 20l0 -5M19 20l-1 -4" />
            </pattern>
          </defs>
          {lot.ground !== null && (
            <>
              <rect class="free" {...screenBox(view, lot.ground)} />
              <rect fill="url(#grass)" {...screenBox(view, lot.ground)} />
            </>
          )}
          {lot.pond === null && (
            <rect
              class={lot.over_length_m > 0.05 || lot.over_width_m > 0.05 ? "field broken" : "field"}
              {...screenBox(view, lot.field)}
            />
          )}
          {lot.site !== null && <Survey site={lot.site} view={view} />}
          {lot.pond !== null && (
            <circle
              class="pond"
              cx={view.to(lot.pond.centre)[0]}
              cy={view.to(lot.pond.centre)[1]}
              r={lot.pond.radius_m * view.scale}
            />
          )}
          <g class="header">
            {lot.header.map((run, i) => (
              <polyline key={i} points={points(view, run)} />
            ))}
          </g>
          <Pipes lot={lot} view={view} colour={colour} />
          {lot.house !== null && <House lot={lot} house={lot.house} view={view} />}
          <Dimensions lot={lot} view={view} />
          <North x={18 + barRoom + 30} y={size.high - (view.turned ? 22 : 24)} turned={view.turned} />
          <ScaleBar x={18} y={size.high - 16} room={barRoom} perMetre={view.scale} system={s} />
          <TemperatureLegend
            dark={dark.value}
            x={size.wide - 18}
            y={size.high - 14}
            wide={narrow ? 96 : 132}
            scale={scale}
            system={s}
          />
        </svg>
        <p class="cursor" aria-hidden="true">
          {there === null
            ? ""
            : `${says(there[0] - zero[0], "east", "west")}, ${says(there[1] - zero[1], "north", "south")} of the first ${firstOf(l.plan)}`}
        </p>
      </div>
    </div>
  );
}
