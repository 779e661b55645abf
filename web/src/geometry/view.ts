// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// From metres on the lot to points on the screen, at one scale for both directions, with an optional quarter
// turn so that a long lot fills a wide sheet (north then points right), and with the reader's zoom and shift.
import type { Box, Point } from "./vec";
import { centre, height, width } from "./vec";

export type Size = { wide: number; high: number };
export type Pan = { zoom: number; dx: number; dy: number }; // shift in screen points

export type View = {
  scale: number; // screen points per metre
  turned: boolean;
  to: (p: Point) => Point;
  from: (p: Point) => Point;
};

export const STILL: Pan = { zoom: 1, dx: 0, dy: 0 };

export function fitScale(bounds: Box, size: Size, turned: boolean): number {
  const [w, h] = turned ? [height(bounds), width(bounds)] : [width(bounds), height(bounds)];
  return Math.min(size.wide / Math.max(w, 1e-6), size.high / Math.max(h, 1e-6));
}

/** Whether turning the lot a quarter shows it clearly larger. */
export function betterTurned(bounds: Box, size: Size): boolean {
  return fitScale(bounds, size, true) > 1.15 * fitScale(bounds, size, false);
}

/** Unturned: east right, north up. Turned: north right, east down. `offset`: top left of the drawing area. */
export function makeView(bounds: Box, size: Size, options: { turned: boolean; offset: Point; pan: Pan }): View {
  const { turned, offset, pan } = options;
  const scale = fitScale(bounds, size, turned) * pan.zoom;
  const [cx, cy] = centre(bounds);
  const mx = offset[0] + size.wide / 2 + pan.dx;
  const my = offset[1] + size.high / 2 + pan.dy;
  return {
    scale,
    turned,
    to: ([x, y]) => (turned ? [mx + (y - cy) * scale, my + (x - cx) * scale] : [mx + (x - cx) * scale, my - (y - cy) * scale]),
    from: ([sx, sy]) =>
      turned ? [cx + (sy - my) / scale, cy + (sx - mx) / scale] : [cx + (sx - mx) / scale, cy - (sy - my) / scale],
  };
}

/** The pan after zooming by `factor` about a screen point, which stays where it is. */
export function zoomAbout(pan: Pan, factor: number, at: Point, middle: Point): Pan {
  const zoom = Math.min(40, Math.max(0.4, pan.zoom * factor));
  const f = zoom / pan.zoom;
  return {
    zoom,
    dx: at[0] - middle[0] - (at[0] - middle[0] - pan.dx) * f,
    dy: at[1] - middle[1] - (at[1] - middle[1] - pan.dy) * f,
  };
}

/** Corners of a box on the screen, as SVG x, y, width, height. */
export function screenBox(view: View, box: Box): { x: number; y: number; width: number; height: number } {
  const a = view.to([box.x0, box.y0]);
  const b = view.to([box.x1, box.y1]);
  return { x: Math.min(a[0], b[0]), y: Math.min(a[1], b[1]), width: Math.abs(b[0] - a[0]), height: Math.abs(b[1] - a[1]) };
}
