// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// What a drafter draws beside the thing itself: dimensions, scale bar, north arrow, legend of temperature.
import type { Point } from "../geometry/vec";
import { distance } from "../geometry/vec";
import { scaleBar } from "../geometry/ticks";
import { colourAt, type TemperatureScale } from "../colour";
import { fromSi, printNumber, unitOf, type System } from "../units";

type DimProps = { a: Point; b: Point; away: number; label: string; broken?: boolean };

/** A dimension between two screen points, drawn `away` points to the left of the way from a to b. */
export function Dim({ a, b, away, label, broken }: DimProps) {
  const length = distance(a, b);
  if (length < 4) {
    return null;
  }
  const [ux, uy] = [(b[0] - a[0]) / length, (b[1] - a[1]) / length];
  const [nx, ny] = [uy, -ux];
  const shift = (p: Point, d: number): Point => [p[0] + nx * d, p[1] + ny * d];
  const [p, q] = [shift(a, away), shift(b, away)];
  const sign = Math.sign(away);
  const [a1, a2] = [shift(a, sign * 4), shift(p, sign * 5)];
  const [b1, b2] = [shift(b, sign * 4), shift(q, sign * 5)];
  const middle: Point = [(p[0] + q[0]) / 2, (p[1] + q[1]) / 2];
  let angle = (Math.atan2(uy, ux) * 180) / Math.PI;
  if (angle > 90 || angle <= -90) {
    angle += 180;
  }
  const slash = (at: Point) => <line x1={at[0] - 4} y1={at[1] + 4} x2={at[0] + 4} y2={at[1] - 4} class="dim-tick" />;
  return (
    <g class={broken === true ? "dim broken" : "dim"}>
      <line x1={a1[0]} y1={a1[1]} x2={a2[0]} y2={a2[1]} />
      <line x1={b1[0]} y1={b1[1]} x2={b2[0]} y2={b2[1]} />
      <line x1={p[0]} y1={p[1]} x2={q[0]} y2={q[1]} />
      {slash(p)}
      {slash(q)}
      <text class="halo" text-anchor="middle" transform={`translate(${middle[0]} ${middle[1]}) rotate(${angle})`} dy="-5">
        {label}
      </text>
    </g>
  );
}

export function ScaleBar({
  x,
  y,
  room,
  perMetre,
  system,
}: {
  x: number;
  y: number;
  room: number;
  perMetre: number;
  system: System;
}) {
  const unit = unitOf("length", system);
  const bar = scaleBar(perMetre, unit.si, room);
  const half = bar.points / 2;
  return (
    <g class="scale-bar" transform={`translate(${x} ${y})`}>
      <rect class="dark" x="0" y="-5" width={half} height="5" />
      <rect class="light" x={half} y="-5" width={half} height="5" />
      <text x="0" y="-10">
        0
      </text>
      <text x={bar.points} y="-10" text-anchor="middle">{`${printNumber(bar.units, bar.units < 1 ? 1 : 0)} ${unit.label}`}</text>
    </g>
  );
}

export function North({ x, y, turned }: { x: number; y: number; turned: boolean }) {
  return (
    <g class="north" transform={`translate(${x} ${y})`} role="img" aria-label={turned ? "North is to the right" : "North is up"}>
      <g transform={turned ? "rotate(90)" : ""}>
        <path class="light" d="M0 -20L6 12L0 7Z" />
        <path class="dark" d="M0 -20L-6 12L0 7Z" />
      </g>
      <text x={turned ? 30 : 0} y={turned ? 5 : -25} text-anchor="middle">
        N
      </text>
    </g>
  );
}

/** Strip of colours from the coldest to the warmest, with a line of its own at the freezing point of water. */
export function TemperatureLegend({
  x,
  y,
  wide,
  dark,
  scale,
  system,
}: {
  x: number;
  y: number;
  wide: number;
  dark: boolean;
  scale: TemperatureScale;
  system: System;
}) {
  const at = (degc: number): number => ((degc - scale.low_degc) / (scale.high_degc - scale.low_degc)) * wide;
  const unit = unitOf("temperature", system);
  const text = (degc: number): string => printNumber(fromSi(degc, unit), 0);
  const parts = 44;
  return (
    <g class="legend" transform={`translate(${x - wide} ${y})`} role="img" aria-label="Colours of the water temperature">
      {Array.from({ length: parts }, (_, i) => (
        <rect
          key={i}
          x={(i * wide) / parts}
          y="-8"
          width={wide / parts + 0.5}
          height="8"
          fill={colourAt((i + 0.5) / parts, dark)}
        />
      ))}
      <line class="zero" x1={at(0)} x2={at(0)} y1="-12" y2="4" />
      <text x={at(0)} y="-16" text-anchor="middle">{`${text(0)} ${unit.label}`}</text>
      {at(0) > 24 && (
        <text x="0" y="-12" text-anchor="start">
          {text(scale.low_degc)}
        </text>
      )}
      <text x={wide} y="-12" text-anchor="end">
        {text(scale.high_degc)}
      </text>
    </g>
  );
}
