// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// The ground in section: what is cut, how deep it reaches, and which layers are seen.
import { isDig, type Line, type Plan } from "../design";
import { boxOf } from "./vec";
import type { Box, Point } from "./vec";
import { isUpright, trenchesOf } from "./lot";

export type Layer = { from_m: number; to_m: number; name: string };

export type Cut = {
  kind: "bores" | "trench" | "pond";
  waters: number[]; // depths of a water level to be drawn: of a well, or of a pond's surface and bundles
  shafts: { from: Point; to: Point }[]; // bores: [along, depth] of both ends
  digs: { box: Box; pipes: Point[] }[]; // trenches: outline (y is depth) and pipe centres
  hidden: number; // trenches left out because they would not be seen at this scale
  along: [number, number];
  depth_m: number; // to the foot of what is drawn
};

/** Bores seen from the side along the longer extent of the field; trenches cut across, at most `most` of them. */
export function cutOf(lines: readonly Line[], plan: Plan, most = 4): Cut {
  if (plan.kind === "pond") {
    const half = Math.max(6, plan.depth_m * 2.5);
    return {
      kind: "pond",
      waters: [0, plan.coil_depth_m],
      shafts: [],
      digs: [],
      hidden: 0,
      along: [-half, half],
      depth_m: plan.depth_m,
    };
  }
  if (plan.kind === "well") {
    const one = (x: number): { from: Point; to: Point } => ({ from: [x, 0], to: [x, plan.depth_m] });
    const shafts = plan.return_to === "well" ? [one(0), one(plan.return_distance_m)] : [one(0)];
    return {
      kind: "bores",
      waters: [plan.static_level_m],
      shafts,
      digs: [],
      hidden: 0,
      along: [0, Math.max(1, plan.return_distance_m)],
      depth_m: plan.depth_m,
    };
  }
  if (isDig(plan)) {
    const all = trenchesOf(lines, plan);
    const shown = all.slice(0, most);
    const digs = shown.map((t) => {
      const across = t.box.y1 - t.box.y0 >= t.box.x1 - t.box.x0 ? 0 : 1;
      const middle = across === 0 ? (t.box.x0 + t.box.x1) / 2 : (t.box.y0 + t.box.y1) / 2;
      const half = plan.width_m / 2;
      return {
        box: { x0: middle - half, x1: middle + half, y0: 0, y1: plan.depth_m },
        pipes: t.lines.map((l): Point => [l[across], l[2]]),
      };
    });
    const xs = digs.flatMap((d) => [d.box.x0, d.box.x1]);
    return {
      kind: "trench",
      waters: [],
      shafts: [],
      digs,
      hidden: all.length - shown.length,
      along: [Math.min(...xs), Math.max(...xs)],
      depth_m: plan.depth_m,
    };
  }
  const upright = plan.kind === "mixed" ? lines.filter(isUpright) : lines;
  const plane = boxOf(
    upright.flatMap((l): Point[] => [
      [l[0], l[1]],
      [l[3], l[4]],
    ]),
  );
  const axis = plane.x1 - plane.x0 >= plane.y1 - plane.y0 ? 0 : 1;
  const shafts = upright.map((l) => ({ from: [l[axis], l[2]] as Point, to: [l[axis + 3] ?? 0, l[5]] as Point }));
  const box = boxOf(shafts.flatMap((s) => [s.from, s.to]));
  return { kind: "bores", waters: [], shafts, digs: [], hidden: 0, along: [box.x0, box.x1], depth_m: box.y1 };
}

/** Layers from the surface to `depth_m`; the last one goes on to the foot. */
export function stackLayers(thickness: readonly { name: string; thickness_m: number }[], depth_m: number): Layer[] {
  const layers: Layer[] = [];
  let top = 0;
  thickness.forEach((layer, i) => {
    const last = i === thickness.length - 1;
    const foot = last ? depth_m : Math.min(depth_m, top + layer.thickness_m);
    if (top < depth_m && foot > top) {
      layers.push({ from_m: top, to_m: foot, name: layer.name });
    }
    top += layer.thickness_m;
  });
  return layers;
}
