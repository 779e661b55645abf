// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
import assert from "node:assert/strict";
import { test } from "node:test";
import { rgbFromOklab, scaleFor, sequenceAt } from "../src/colour";
import { cutOf, stackLayers } from "../src/geometry/section";
import { roundBelow, scaleBar, stepFor, ticks } from "../src/geometry/ticks";

test("round numbers are 1, 2 or 5 times a power of ten", () => {
  assert.equal(roundBelow(7.3), 5);
  assert.equal(roundBelow(0.19), 0.1);
  assert.equal(roundBelow(20), 20);
  assert.ok(Math.abs(roundBelow(0.5) - 0.5) < 1e-15);
});

test("ticks stay within their ends and never exceed the number asked for", () => {
  for (const high of [1.3, 2.5, 9.99, 37, 120, 371]) {
    const found = ticks(0, high, 6);
    assert.ok(found.length >= 2 && found.length <= 7, `${high}: ${found.join(" ")}`);
    assert.ok((found[found.length - 1] ?? Infinity) <= high + 1e-9);
    assert.ok(stepFor(high, 6) > 0);
  }
});

test("a scale bar is a round length that fits its room", () => {
  const bar = scaleBar(7.3, 0.3048, 130);
  assert.equal(bar.units, 50);
  assert.ok(Math.abs(bar.points - 50 * 0.3048 * 7.3) < 1e-12);
  assert.ok(bar.points <= 130);
});

test("lightness rises evenly over the colours of temperature, in steps that grey print shows", () => {
  const light = Array.from({ length: 21 }, (_, i) => sequenceAt(i / 20)[0]);
  const steps = light.slice(1).map((x, i) => x - (light[i] ?? 0));
  assert.ok(Math.max(...steps) - Math.min(...steps) < 1e-12);
});

test("every colour of the sequence can be shown on a screen", () => {
  for (let i = 0; i <= 50; i++) {
    for (const dark of [false, true]) {
      const rgb = rgbFromOklab(sequenceAt(i / 50, dark));
      assert.ok(
        rgb.every((x) => x > 0 && x < 1),
        `${i}: ${rgb.join(" ")}`,
      );
    }
  }
});

test("a scale of temperature always holds the freezing point", () => {
  assert.deepEqual(scaleFor(3, 12), { low_degc: -5, high_degc: 15 });
  assert.deepEqual(scaleFor(-8.2, -1), { low_degc: -10, high_degc: 0 });
});

test("layers are stacked down to the foot, the last one on", () => {
  const layers = stackLayers(
    [
      { name: "clay", thickness_m: 7 },
      { name: "rock", thickness_m: 50 },
    ],
    120,
  );
  assert.deepEqual(layers, [
    { name: "clay", from_m: 0, to_m: 7 },
    { name: "rock", from_m: 7, to_m: 120 },
  ]);
  assert.equal(
    stackLayers(
      [
        { name: "clay", thickness_m: 7 },
        { name: "rock", thickness_m: 50 },
      ],
      5,
    ).length,
    1,
  );
});

test("leaning bores are cut along the side on which they lean", () => {
  const cut = cutOf(
    [
      [0, 0, 1.5, -38, 0, 146],
      [3, 0, 1.5, 41, 0, 146],
    ],
    { kind: "bores", count: 2, depth_m: 150, top_m: 1.5, diameter_m: 0.1, spacing_m: 6, header_m: 6 },
  );
  assert.deepEqual(cut.along, [-38, 41]);
  assert.equal(cut.depth_m, 146);
});

test("trenches that would be too small to see are counted, not drawn", () => {
  const lines = Array.from({ length: 12 }, (_, i): [number, number, number, number, number, number] => [
    3 * i,
    0,
    1.8,
    3 * i,
    40,
    1.8,
  ]);
  const cut = cutOf(lines, {
    kind: "trench",
    count: 12,
    length_m: 40,
    spacing_m: 3,
    depth_m: 1.8,
    width_m: 0.6,
    pipes: 1,
    header_m: 6,
  });
  assert.equal(cut.digs.length, 4);
  assert.equal(cut.hidden, 8);
});
