// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// The lot in plan: where the free ground, the field, the header and the house are drawn.
//
// The job states sizes and distances, not a survey: the field is drawn in the middle of the free ground and the
// house across from it at the stated distance. Nothing here is a design: lengths all come from the job and the design.
import type { Line, Plan } from "../design";
import type { Box, Point } from "./vec";
import { boxOf, centre, grow, height, join, width } from "./vec";

export type LotInput = {
  lines_m: readonly Line[];
  plan: Plan;
  land_length_m: number;
  land_width_m: number;
  usable_length_m: number | null;
  usable_width_m: number | null;
  entry_distance_m: number;
  house_side_m: number; // of the square that stands for the house
};

export type Trench = { box: Box; lines: Line[] };

export type Lot = {
  field: Box; // the land that the field takes up
  ground: Box | null; // the free ground
  house: Box;
  houseSide: "south" | "west";
  entry: Point; // where the pipes go into the house
  header: Point[][]; // runs from the house to each bore or trench, schematic
  trenches: Trench[];
  collars: { at: Point; foot: Point }[]; // bores: top and bottom in plan
  bounds: Box;
  over_length_m: number; // by which the field is longer than the free ground, 0 if it fits
  over_width_m: number;
};

function linesBox(lines: readonly Line[]): Box {
  return boxOf(
    lines.flatMap((l): Point[] => [
      [l[0], l[1]],
      [l[3], l[4]],
    ]),
  );
}

/** Land of the field around its pipes: the design's own length and width, its longer side along the longer of the box. */
export function fieldBox(input: LotInput): Box {
  const pipes = linesBox(input.lines_m);
  const alongX = width(pipes) >= height(pipes);
  const wide = alongX ? input.land_length_m : input.land_width_m;
  const high = alongX ? input.land_width_m : input.land_length_m;
  return grow(pipes, Math.max(0, (wide - width(pipes)) / 2), Math.max(0, (high - height(pipes)) / 2));
}

function groundBox(field: Box, length_m: number | null, width_m: number | null): Box | null {
  if (length_m === null || width_m === null) {
    return null;
  }
  const [long, short] = [Math.max(length_m, width_m), Math.min(length_m, width_m)];
  const alongX = width(field) >= height(field);
  const [x, y] = centre(field);
  const [hx, hy] = alongX ? [long / 2, short / 2] : [short / 2, long / 2];
  return { x0: x - hx, y0: y - hy, x1: x + hx, y1: y + hy };
}

/** Pipes of one trench together, and the outline of the dig. */
export function trenchesOf(lines: readonly Line[], plan: Plan): Trench[] {
  if (plan.kind !== "trench" || lines.length === 0) {
    return [];
  }
  const each = Math.max(1, Math.round(lines.length / Math.max(1, plan.count)));
  const trenches: Trench[] = [];
  for (let i = 0; i < lines.length; i += each) {
    const own = lines.slice(i, i + each);
    const pipes = linesBox(own);
    const alongY = height(pipes) >= width(pipes);
    const [x, y] = centre(pipes);
    const half = plan.width_m / 2;
    trenches.push({
      lines: own,
      box: alongY ? { ...pipes, x0: x - half, x1: x + half } : { ...pipes, y0: y - half, y1: y + half },
    });
  }
  return trenches;
}

function headerRuns(side: "south" | "west", entry: Point, ends: readonly Point[]): Point[][] {
  if (ends.length === 0) {
    return [];
  }
  const nearest = side === "south" ? Math.min(...ends.map((p) => p[1])) : Math.min(...ends.map((p) => p[0]));
  const gap = 1; // metres between the collecting run and the first bore or trench
  const bus = nearest - gap;
  if (side === "south") {
    const xs = [entry[0], ...ends.map((p) => p[0])];
    return [
      [entry, [entry[0], bus]],
      [
        [Math.min(...xs), bus],
        [Math.max(...xs), bus],
      ],
      ...ends.map((p): Point[] => [[p[0], bus], p]),
    ];
  }
  const ys = [entry[1], ...ends.map((p) => p[1])];
  return [
    [entry, [bus, entry[1]]],
    [
      [bus, Math.min(...ys)],
      [bus, Math.max(...ys)],
    ],
    ...ends.map((p): Point[] => [[bus, p[1]], p]),
  ];
}

export function layOutLot(input: LotInput, houseSide: "south" | "west"): Lot {
  const field = fieldBox(input);
  const ground = groundBox(field, input.usable_length_m, input.usable_width_m);
  const free = ground ?? field;
  const trenches = trenchesOf(input.lines_m, input.plan);
  const bores = input.plan.kind === "bores" ? input.lines_m : [];
  const collars = bores.map((l) => ({ at: [l[0], l[1]] as Point, foot: [l[3], l[4]] as Point }));
  const side = input.house_side_m;
  const [cx, cy] = centre(free);
  const house: Box =
    houseSide === "south"
      ? {
          x0: cx - side / 2,
          x1: cx + side / 2,
          y0: free.y0 - input.entry_distance_m - side,
          y1: free.y0 - input.entry_distance_m,
        }
      : {
          y0: cy - side / 2,
          y1: cy + side / 2,
          x0: free.x0 - input.entry_distance_m - side,
          x1: free.x0 - input.entry_distance_m,
        };
  const entry: Point = houseSide === "south" ? [cx, house.y1] : [house.x1, cy];
  const ends =
    collars.length > 0
      ? collars.map((c) => c.at)
      : trenches.map((t): Point => (houseSide === "south" ? [centre(t.box)[0], t.box.y0] : [t.box.x0, centre(t.box)[1]]));
  const alongX = width(field) >= height(field);
  const over = (size: number, room: number | undefined): number => (room === undefined ? 0 : Math.max(0, size - room));
  const longSide = ground === null ? undefined : alongX ? width(ground) : height(ground);
  const shortSide = ground === null ? undefined : alongX ? height(ground) : width(ground);
  return {
    field,
    ground,
    house,
    houseSide,
    entry,
    trenches,
    collars,
    header: headerRuns(houseSide, entry, ends),
    bounds: join(join(free, field), house),
    over_length_m: over(input.land_length_m, longSide),
    over_width_m: over(input.land_width_m, shortSide),
  };
}
