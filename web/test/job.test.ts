// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
import assert from "node:assert/strict";
import { test } from "node:test";
import { monthOfHour } from "../src/answers";
import { countWord } from "../src/plans";
import { csvText } from "../src/csv";
import { monthAt } from "../src/design";
import { envelopeOf, jobOf, type Visit } from "../src/guess";
import { pushEdit, redoEdit, startHistory, undoEdit } from "../src/history";
import { getAt, isWithin, parsePath, pathText, setAt } from "../src/json";

test("an edit leaves the document before it as it was", () => {
  const before = { a: [{ b: 1 }, { b: 2 }], c: 3 };
  const after = setAt(before, ["a", 1, "b"], 5);
  assert.equal(getAt(before, ["a", 1, "b"]), 2);
  assert.equal(getAt(after, ["a", 1, "b"]), 5);
  assert.equal(getAt(after, ["a", 0]), before.a[0]);
});

test("undefined removes a key or a list element", () => {
  assert.deepEqual(setAt({ a: 1, b: 2 }, ["a"], undefined), { b: 2 });
  assert.deepEqual(setAt({ a: [1, 2, 3] }, ["a", 1], undefined), { a: [1, 3] });
});

test("missing parents are made", () => {
  assert.deepEqual(setAt({}, ["plant", "hot_water", "hot_degc"], 55), { plant: { hot_water: { hot_degc: 55 } } });
});

test("paths read as the program writes them", () => {
  const path = ["house", "envelope", 3, "area_m2"];
  assert.equal(pathText(path), "house.envelope[3].area_m2");
  assert.deepEqual(parsePath("house.envelope[3].area_m2"), path);
  assert.ok(isWithin("house.envelope[3]", "house.envelope"));
  assert.ok(!isWithin("houseboat", "house"));
});

test("keystrokes in one field are one step back, another field is another", () => {
  let h = startHistory({ n: 0 });
  h = pushEdit(h, { n: 1 }, { what: "n", key: "n", time: 1000 });
  h = pushEdit(h, { n: 12 }, { what: "n", key: "n", time: 1300 });
  h = pushEdit(h, { n: 12 }, { what: "m", key: "m", time: 1400 });
  assert.equal(h.past.length, 2);
  h = undoEdit(undoEdit(h));
  assert.deepEqual(h.doc, { n: 0 });
  h = redoEdit(h);
  assert.deepEqual(h.doc, { n: 12 });
});

test("a pause makes keystrokes separate steps, and an edit after undo ends the way forward", () => {
  let h = startHistory(0);
  h = pushEdit(h, 1, { what: "n", key: "n", time: 0 });
  h = pushEdit(h, 2, { what: "n", key: "n", time: 5000 });
  assert.equal(h.past.length, 2);
  h = undoEdit(h);
  h = pushEdit(h, 7, { what: "n", key: "n", time: 5100 });
  assert.equal(h.future.length, 0);
  assert.equal(redoEdit(h), h);
});

test("hours and months of the horizon have the names a reader expects", () => {
  assert.equal(monthOfHour(729), "January");
  assert.equal(monthOfHour(744), "February");
  assert.equal(monthOfHour(8759), "December");
  assert.deepEqual(monthAt(0, 9), { name: "September", year: 1 });
  assert.deepEqual(monthAt(4, 9), { name: "January", year: 1 });
  assert.deepEqual(monthAt(12, 9), { name: "September", year: 2 });
  assert.equal(countWord(3), "Three");
  assert.equal(countWord(40), "40");
});

test("tables quote what a reader of CSV would trip over", () => {
  assert.equal(
    csvText(
      ["a", "b"],
      [
        ["x, y", 1],
        ['say "no"', null],
      ],
    ),
    'a,b\r\n"x, y",1\r\n"say ""no""",\r\n',
  );
});

const visit: Visit = {
  station: "halifax",
  floor_area_m2: 180,
  storeys: 2,
  era: 1,
  present: "oil_old",
  bill: null,
  land: "garden",
  ground: "clay",
};

test("the outline of a first visit has the stated floor area", () => {
  const e = envelopeOf(180, 2);
  assert.ok(Math.abs(e.cover_m2 * 3 - 180) < 1e-9);
  assert.ok(Math.abs(e.outline_m ** 2 / 16 - e.cover_m2) < 1e-9);
  assert.ok(e.wall_m2 > 0 && e.window_m2 > 0);
});

test("the cautious variant insulates less and leaks more than the hopeful one", () => {
  const leak = (v: "cautious" | "hopeful"): number => Number(getAt(jobOf(visit, v, null), ["house", "leakage", "ach50"]));
  const wall = (v: "cautious" | "hopeful"): number =>
    Number(String(getAt(jobOf(visit, v, null), ["house", "envelope", 0, "insulation_m2k_w"])).slice(2));
  assert.ok(leak("cautious") > leak("hopeful"));
  assert.ok(wall("cautious") < wall("hopeful"));
});

test("a bill takes the place of the guess by age, and a small lot gets no trenches", () => {
  const job = jobOf({ ...visit, land: "small" }, "likely", { loss_w: 9000.4 });
  assert.equal(getAt(job, ["house", "design_loss_w"]), 9000);
  assert.equal(getAt(job, ["house", "envelope"]), undefined);
  assert.equal(getAt(job, ["loops", 0, "kind"]), "bores");
  assert.equal(getAt(job, ["loops", 1]), undefined);
});
