// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// The lot in plan: where the free ground, the field, the header and the house are drawn.
//
// The job states sizes and distances, not a survey: the field is drawn in the middle of the free ground and the
// house across from it at the stated distance. Nothing here is a design: lengths all come from the job and the design.
import { isDig, type Line, type Plan } from "../design";
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
  site?: Site | null; // the surveyed lot, where the job has one
};

export type Feature = { kind: string; name: string; shape: "polygon" | "line" | "circle"; points: Point[]; radius_m: number };
export type Site = { boundary: Point[]; features: Feature[]; entry: Point | null };
export type Pond = { centre: Point; radius_m: number };

export type Trench = { box: Box; lines: Line[] };

export type Lot = {
  field: Box; // the land that the field takes up
  ground: Box | null; // the free ground
  house: Box | null; // null where the survey has the house
  site: Site | null;
  pond: Pond | null; // a disc of the pond's surface: its outline is not known
  houseSide: "south" | "west";
  entry: Point; // where the pipes go into the house
  header: Point[][]; // runs from the house to each bore or trench, schematic
  trenches: Trench[];
  collars: { at: Point; foot: Point; name?: string }[]; // bores and wells: top and bottom in plan
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
  const { plan } = input;
  if (plan.kind === "pond") {
    const r = Math.sqrt(plan.area_m2 / Math.PI);
    return { x0: -r, y0: -r, x1: r, y1: r };
  }
  if (plan.kind === "well") {
    return { x0: -1, y0: -1, x1: Math.max(1, plan.return_distance_m + 1), y1: 1 };
  }
  if (input.lines_m.length === 0) {
    return { x0: 0, y0: 0, x1: Math.max(1, input.land_length_m), y1: Math.max(1, input.land_width_m) };
  }
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

/** Whether a line goes down rather than along. */
export function isUpright(l: Line): boolean {
  return Math.abs(l[5] - l[2]) > Math.hypot(l[3] - l[0], l[4] - l[1]);
}

/** Tops of bores and wells, each once. */
export function collarsOf(lines: readonly Line[], plan: Plan): { at: Point; foot: Point; name?: string }[] {
  if (plan.kind === "well") {
    const supply = { at: [0, 0] as Point, foot: [0, 0] as Point, name: "well" };
    const back: Point = [plan.return_distance_m, 0];
    return plan.return_to === "well" ? [supply, { at: back, foot: back, name: "return well" }] : [supply];
  }
  if (plan.kind !== "bores" && plan.kind !== "mixed") {
    return [];
  }
  const upright = lines.filter((l) => plan.kind === "bores" || isUpright(l));
  const seen = new Map<string, { at: Point; foot: Point }>();
  for (const l of upright) {
    const key = `${l[0].toFixed(2)} ${l[1].toFixed(2)}`;
    const before = seen.get(key);
    seen.set(key, { at: before?.at ?? [l[0], l[1]], foot: [l[3], l[4]] });
  }
  return [...seen.values()];
}

/** Pipes of one trench together, and the outline of the dig. */
export function trenchesOf(lines: readonly Line[], plan: Plan): Trench[] {
  if (plan.kind === "mixed") {
    return lines.filter((l) => !isUpright(l)).map((l) => ({ lines: [l], box: grow(linesBox([l]), 0.15) }));
  }
  if (!isDig(plan) || lines.length === 0) {
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

function featureBox(f: Feature): Box {
  return grow(boxOf(f.points), f.radius_m);
}

/** The lot as it was surveyed: the loop where the design laid it, and the header as straight runs from the entry. */
function surveyed(
  site: Site,
  drawn: { field: Box; trenches: Trench[]; collars: Lot["collars"]; pond: Pond | null; ends: Point[] },
): Lot {
  const outline = boxOf(site.boundary);
  const house = site.features.find((f) => f.kind === "house");
  const entry = site.entry ?? (house === undefined ? centre(outline) : centre(featureBox(house)));
  const middle = centre(boxOf(drawn.ends.length > 0 ? drawn.ends : [entry]));
  const near = grow(outline, 0.15 * width(outline), 0.15 * height(outline));
  const seen = site.features.map(featureBox).filter((b) => b.x0 > near.x0 && b.y0 > near.y0 && b.x1 < near.x1 && b.y1 < near.y1);
  return {
    field: drawn.field,
    trenches: drawn.trenches,
    collars: drawn.collars,
    pond: drawn.pond,
    ground: null,
    house: null,
    site,
    houseSide: "south",
    entry,
    header: [[entry, middle], ...drawn.ends.map((e): Point[] => [middle, e])],
    bounds: seen.reduce(join, join(outline, drawn.field)),
    over_length_m: 0,
    over_width_m: 0,
  };
}

export function layOutLot(input: LotInput, houseSide: "south" | "west"): Lot {
  const field = fieldBox(input);
  const onLand = input.plan.kind !== "pond" && input.plan.kind !== "well";
  const ground = onLand ? groundBox(field, input.usable_length_m, input.usable_width_m) : null;
  const free = ground ?? field;
  const trenches = trenchesOf(input.lines_m, input.plan);
  const collars = collarsOf(input.lines_m, input.plan);
  const pond: Pond | null =
    input.plan.kind === "pond" ? { centre: [0, 0], radius_m: Math.sqrt(input.plan.area_m2 / Math.PI) } : null;
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
  const reach = pond?.radius_m ?? 0;
  const ends: Point[] =
    pond !== null
      ? [houseSide === "south" ? [0, -reach * 0.6] : [-reach * 0.6, 0]]
      : [
          ...collars.map((c) => c.at),
          ...trenches.map((t): Point => (houseSide === "south" ? [centre(t.box)[0], t.box.y0] : [t.box.x0, centre(t.box)[1]])),
        ];
  if (input.site != null) {
    return surveyed(input.site, { field, trenches, collars, pond, ends });
  }
  const alongX = width(field) >= height(field);
  const over = (size: number, room: number | undefined): number => (room === undefined ? 0 : Math.max(0, size - room));
  const longSide = ground === null ? undefined : alongX ? width(ground) : height(ground);
  const shortSide = ground === null ? undefined : alongX ? height(ground) : width(ground);
  return {
    field,
    ground,
    house,
    site: null,
    pond,
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
