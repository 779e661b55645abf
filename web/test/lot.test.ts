// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
import assert from "node:assert/strict";
import { test } from "node:test";
import type { Line } from "../src/design";
import { layOutLot, type LotInput } from "../src/geometry/lot";
import { height, width } from "../src/geometry/vec";
import { betterTurned, fitScale, makeView, screenBox, STILL, zoomAbout } from "../src/geometry/view";

const bores: LotInput = {
  lines_m: [
    [0, 0, 1.5, 0, 0, 114.5],
    [5, 0, 1.5, 5, 0, 114.5],
    [10, 0, 1.5, 10, 0, 114.5],
  ],
  plan: { kind: "bores", count: 3, depth_m: 113, top_m: 1.5, diameter_m: 0.11, spacing_m: 5, header_m: 6 },
  land_length_m: 12,
  land_width_m: 2,
  usable_length_m: 14,
  usable_width_m: 9,
  entry_distance_m: 6,
  house_side_m: 8,
};

const pipe = (x: number): Line => [x, 0, 1.8, x, 40, 1.8];
const trenches: LotInput = {
  ...bores,
  lines_m: [pipe(-0.25), pipe(0.25), pipe(2.75), pipe(3.25)],
  plan: { kind: "trench", count: 2, length_m: 40, spacing_m: 3, depth_m: 1.8, width_m: 0.6, pipes: 2, header_m: 6 },
  land_length_m: 40,
  land_width_m: 3.6,
  usable_length_m: 30,
  usable_width_m: 20,
};

test("the field keeps the land that the design says, in the middle of the free ground", () => {
  const lot = layOutLot(bores, "south");
  assert.equal(width(lot.field), 12);
  assert.equal(height(lot.field), 2);
  assert.ok(lot.ground !== null);
  assert.equal(width(lot.ground), 14);
  assert.equal(lot.ground.x0 + lot.ground.x1, lot.field.x0 + lot.field.x1);
  assert.equal(lot.over_length_m, 0);
});

test("the house stands at the stated distance from the free ground, on either side", () => {
  const south = layOutLot(bores, "south");
  assert.equal((south.ground?.y0 ?? 0) - (south.house?.y1 ?? NaN), 6);
  const west = layOutLot(bores, "west");
  assert.equal((west.ground?.x0 ?? 0) - (west.house?.x1 ?? NaN), 6);
});

test("the long side of the ground lies along the long side of the field, whichever way it was stated", () => {
  const swapped = layOutLot({ ...trenches, usable_length_m: 20, usable_width_m: 30 }, "south");
  assert.equal(height(swapped.ground ?? swapped.field), 30);
});

test("a field that is too long says by how much", () => {
  assert.equal(layOutLot(trenches, "south").over_length_m, 10);
});

test("pipes of one trench lie in one dig of its stated width", () => {
  const lot = layOutLot(trenches, "south");
  assert.equal(lot.trenches.length, 2);
  assert.ok(Math.abs(width(lot.trenches[1]!.box) - 0.6) < 1e-12);
  assert.ok(Math.abs(lot.trenches[1]!.box.x0 - 2.7) < 1e-12);
});

test("every bore and trench is reached by the header, and the header begins at the house", () => {
  for (const input of [bores, trenches]) {
    const lot = layOutLot(input, "south");
    assert.deepEqual(lot.header[0]?.[0], lot.entry);
    assert.equal(lot.header.length - 2, input.plan.count);
  }
});

test("without a stated free ground the field itself is the lot", () => {
  const lot = layOutLot({ ...bores, usable_length_m: null }, "south");
  assert.equal(lot.ground, null);
  assert.equal(lot.over_length_m, 0);
});

test("the view is to one scale and comes back from the screen", () => {
  const bounds = { x0: -3, y0: -20, x1: 17, y1: 5 };
  for (const turned of [false, true]) {
    const view = makeView(bounds, { wide: 600, high: 400 }, { turned, offset: [50, 40], pan: { zoom: 1.5, dx: 7, dy: -9 } });
    const [x, y] = view.from(view.to([3.25, -7.5]));
    assert.ok(Math.abs(x - 3.25) < 1e-9 && Math.abs(y + 7.5) < 1e-9);
    const a = view.to([0, 0]);
    const [b, c] = [view.to([1, 0]), view.to([0, 1])];
    assert.ok(Math.abs(Math.hypot(b[0] - a[0], b[1] - a[1]) - Math.hypot(c[0] - a[0], c[1] - a[1])) < 1e-9);
  }
});

test("north is up, or to the right when turned, and east a quarter clockwise from it", () => {
  const bounds = { x0: 0, y0: 0, x1: 10, y1: 10 };
  const plain = makeView(bounds, { wide: 100, high: 100 }, { turned: false, offset: [0, 0], pan: STILL });
  assert.ok(plain.to([0, 1])[1] < plain.to([0, 0])[1]);
  assert.ok(plain.to([1, 0])[0] > plain.to([0, 0])[0]);
  const turned = makeView(bounds, { wide: 100, high: 100 }, { turned: true, offset: [0, 0], pan: STILL });
  assert.ok(turned.to([0, 1])[0] > turned.to([0, 0])[0]);
  assert.ok(turned.to([1, 0])[1] > turned.to([0, 0])[1]);
});

test("the whole lot is inside the drawing area", () => {
  const lot = layOutLot(trenches, "south");
  const size = { wide: 700, high: 300 };
  const turned = betterTurned(lot.bounds, size);
  assert.equal(turned, true);
  const box = screenBox(makeView(lot.bounds, size, { turned, offset: [10, 20], pan: STILL }), lot.bounds);
  assert.ok(box.x >= 10 - 1e-9 && box.y >= 20 - 1e-9 && box.x + box.width <= 710 + 1e-9 && box.y + box.height <= 320 + 1e-9);
});

test("zooming keeps the point under the pointer where it is", () => {
  const bounds = { x0: 0, y0: 0, x1: 10, y1: 10 };
  const size = { wide: 200, high: 200 };
  const at = [40, 150] as const;
  const before = makeView(bounds, size, { turned: false, offset: [0, 0], pan: STILL }).from(at);
  const pan = zoomAbout(STILL, 2.5, at, [100, 100]);
  const after = makeView(bounds, size, { turned: false, offset: [0, 0], pan }).from(at);
  assert.ok(Math.abs(before[0] - after[0]) < 1e-9 && Math.abs(before[1] - after[1]) < 1e-9);
  assert.ok(fitScale(bounds, size, false) > 0);
});

test("a pond is drawn as a disc of its own surface, at the stated distance from the house", () => {
  const pond: LotInput = {
    ...bores,
    lines_m: [],
    plan: { kind: "pond", count: 3, bundle_m: 72, area_m2: 20000, depth_m: 5, coil_depth_m: 4.4, spacing_m: 0.9, header_m: 36 },
    land_length_m: 0,
    land_width_m: 0,
    entry_distance_m: 36,
  };
  const lot = layOutLot(pond, "south");
  assert.ok(Math.abs(Math.PI * (lot.pond?.radius_m ?? 0) ** 2 - 20000) < 1e-6);
  assert.ok(Math.abs(lot.field.y0 - (lot.house?.y1 ?? NaN) - 36) < 1e-9);
  assert.ok(Object.values(lot.bounds).every(Number.isFinite));
});

test("a well and the one that takes the water back stand at their distance", () => {
  const well: LotInput = {
    ...bores,
    lines_m: [],
    plan: {
      kind: "well",
      count: 1,
      depth_m: 42,
      pump_depth_m: 33,
      static_level_m: 7,
      water_degc: 7,
      yield_m3_s: 1e-3,
      return_distance_m: 24,
      return_to: "well",
      header_m: 9,
    },
  };
  const lot = layOutLot(well, "south");
  assert.deepEqual(
    lot.collars.map((c) => c.at),
    [
      [0, 0],
      [24, 0],
    ],
  );
  assert.ok(Object.values(lot.bounds).every(Number.isFinite));
});

test("a bore in pieces is one bore, and the trenches beside it are trenches", () => {
  const mixed: LotInput = {
    ...bores,
    lines_m: [
      [0, 0, 1.5, 0, 0, 40],
      [0, 0, 40, 0, 0, 80],
      [9, 0, 1.8, 9, 10, 1.8],
    ],
    plan: { kind: "mixed", count: 1, header_m: 6, parts: [] },
  };
  const lot = layOutLot(mixed, "south");
  assert.equal(lot.collars.length, 1);
  assert.equal(lot.trenches.length, 1);
});

test("on a surveyed lot the loop stays where the design laid it, and neighbours far off do not shrink the drawing", () => {
  const site = {
    boundary: [
      [0, 0],
      [18, 0],
      [18, 30],
      [0, 30],
    ] as [number, number][],
    features: [{ kind: "well", name: "well", shape: "circle" as const, points: [[4, 400]] as [number, number][], radius_m: 0.1 }],
    entry: [8, 14] as [number, number],
  };
  const lot = layOutLot({ ...bores, site }, "south");
  assert.equal(lot.house, null);
  assert.equal(lot.ground, null);
  assert.deepEqual(lot.collars[1]?.at, [5, 0]);
  assert.deepEqual(lot.entry, [8, 14]);
  assert.ok(lot.bounds.y1 < 50);
});
