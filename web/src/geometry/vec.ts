// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Points and boxes in the plane, metres, x east and y north unless a function says otherwise.

export type Point = readonly [number, number];
export type Box = { x0: number; y0: number; x1: number; y1: number };

export const EMPTY: Box = { x0: Infinity, y0: Infinity, x1: -Infinity, y1: -Infinity };

export function boxOf(points: readonly Point[]): Box {
  return points.reduce<Box>(
    (b, [x, y]) => ({ x0: Math.min(b.x0, x), y0: Math.min(b.y0, y), x1: Math.max(b.x1, x), y1: Math.max(b.y1, y) }),
    EMPTY,
  );
}

export function join(a: Box, b: Box): Box {
  return { x0: Math.min(a.x0, b.x0), y0: Math.min(a.y0, b.y0), x1: Math.max(a.x1, b.x1), y1: Math.max(a.y1, b.y1) };
}

export function grow(b: Box, dx: number, dy = dx): Box {
  return { x0: b.x0 - dx, y0: b.y0 - dy, x1: b.x1 + dx, y1: b.y1 + dy };
}

export const width = (b: Box): number => b.x1 - b.x0;
export const height = (b: Box): number => b.y1 - b.y0;
export const centre = (b: Box): Point => [(b.x0 + b.x1) / 2, (b.y0 + b.y1) / 2];

export function distance(a: Point, b: Point): number {
  return Math.hypot(b[0] - a[0], b[1] - a[1]);
}
