// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
import assert from "node:assert/strict";
import { test } from "node:test";
import {
  fieldText,
  fieldValue,
  PAIRS,
  printMoney,
  printNumber,
  printQuantity,
  quantityOf,
  readQuantity,
  toSi,
  fromSi,
  unitOf,
} from "../src/units";

const close = (got: number | null, want: number, rel = 1e-12): void => {
  assert.ok(got !== null && Math.abs(got - want) <= rel * Math.max(1, Math.abs(want)), `${got} is not ${want}`);
};

test("factors are the exact ones by definition", () => {
  assert.equal(PAIRS.length.imperial.si, 0.3048);
  close(PAIRS.liquid.imperial.si, 0.003785411784);
  close(PAIRS.volume.imperial.si, 0.028316846592);
  close(PAIRS.pressure.imperial.si, 6894.757293168361);
  close(PAIRS.heat.imperial.si, 0.29307107017222, 1e-12);
  close(PAIRS.insulation.imperial.si, 0.1761101836823, 1e-11);
});

test("every unit comes back as it went", () => {
  for (const pair of Object.values(PAIRS)) {
    for (const unit of [pair.metric, pair.imperial]) {
      close(toSi(fromSi(-3.7, unit), unit), -3.7);
    }
  }
});

test("temperatures have an offset and differences have none", () => {
  assert.equal(printQuantity(0, "temperature", "imperial"), "32.0\u00a0°F");
  assert.equal(printQuantity(-40, "temperature", "imperial"), "\u221240.0\u00a0°F");
  assert.equal(printQuantity(10, "difference", "imperial"), "18.0\u00a0°F");
});

test("an area in square feet is not read as feet and inches", () => {
  close(readQuantity("2652 ft2"), 2652 * 0.3048 ** 2);
  close(readQuantity("21480 ft3"), 21480 * 0.3048 ** 3);
});

test("lengths are read as trades write them", () => {
  close(readQuantity("300 ft"), 91.44);
  close(readQuantity("5 ft 6 in"), 1.6764);
  close(readQuantity("5' 6\""), 1.6764);
  close(readQuantity("4.5 in"), 0.1143);
  close(readQuantity(12.5), 12.5);
});

test("other quantities are read with their own units", () => {
  close(readQuantity("30 degF"), -10 / 9);
  close(readQuantity("R-20"), 20 * 0.1761101836823, 1e-10);
  close(readQuantity("RSI 3.5"), 3.5);
  close(readQuantity("35 %"), 0.35);
  close(readQuantity("3.5 ton"), 3.5 * 3516.852842067, 1e-10);
  close(readQuantity("12 gpm"), (12 * 0.003785411784) / 60);
});

test("what is not known is null, not a guess", () => {
  assert.equal(readQuantity("3 furlong"), null);
  assert.equal(readQuantity("soon"), null);
  assert.equal(readQuantity(undefined), null);
  assert.equal(readQuantity(NaN), null);
});

test("a bare number takes the unit beside the field, a text stays as typed", () => {
  assert.equal(fieldValue("300", unitOf("length", "imperial")), "300 ft");
  assert.equal(fieldValue("90", unitOf("length", "metric")), 90);
  assert.equal(fieldValue("20", unitOf("insulation", "imperial")), "R-20");
  assert.equal(fieldValue("35", unitOf("share", "metric")), "35 %");
  assert.equal(fieldValue("5 ft 6 in", unitOf("length", "metric")), "5 ft 6 in");
  assert.equal(fieldValue("  ", unitOf("length", "metric")), undefined);
  close(fieldValue("18", unitOf("difference", "imperial")) as number, 10);
});

test("a field shows what was written, in the units in view", () => {
  assert.equal(fieldText(91.44, unitOf("length", "imperial")), "300");
  assert.equal(fieldText(0.3, unitOf("share", "metric")), "30");
});

test("a key says its quantity", () => {
  assert.equal(quantityOf("m", "diameter_m"), "small_length");
  assert.equal(quantityOf("m3/s", "ventilation_m3_s"), "air_flow");
  assert.equal(quantityOf(undefined, "tax_frac"), "share");
  assert.equal(quantityOf("1", ""), "plain");
});

test("numbers carry about three figures and a true minus", () => {
  assert.equal(printNumber(1234.56), "1,235");
  assert.equal(printNumber(-12.345), "\u221212.3");
  assert.equal(printNumber(-0.0001, 1), "0.0");
  assert.equal(printNumber(NaN), "not known");
});

test("money keeps its sign and its currency", () => {
  assert.equal(printMoney(123456, "$"), "$1,235");
  assert.equal(printMoney(-5000, "$"), "\u2212$50");
  assert.equal(printMoney(123456, "CAD"), "1,235\u00a0CAD");
});
