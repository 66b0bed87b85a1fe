import assert from "node:assert/strict";
import { test } from "node:test";
import type { Trace } from "../src/data.js";
import {
  bytesOf, clippedAt, colourAt, doseAtPercent, levelAt, placeOf, standingAt, valueAt, wordAt,
} from "../src/lookup.js";
import { toyTrace } from "./toy.js";

/** Three doses with round numbers, so that all that is between is plain. */
const path: Trace = {
  dose: [0, 2, 4],
  columns: { L: [90, 80, 75], tint: [null, 1, 2], h: [350, 10, 30], percent: [0, 2, 3.8] },
  decimals: {},
  colours: { cell: "ffffff" + "ff8000" + "000000", glass: "000000".repeat(3) },
  clipped: { cell: "001", glass: "000" },
  levels: { every: 2, count: 2, colours: "ffffff" + "ff0000" + "ffffff" + "000000" },
  words: [[0, "pale"], [3, "deep"]],
  chart: {
    rungs: [], measured: [], target: null, nearest: null, predicted: null, acceptable: [1, 2], nominal: [0.5, 3],
  },
};

test("a value between two doses lies on the straight line", () => {
  for (const [key, dose, want] of [
    ["L", 0, 90], ["L", 1, 85], ["L", 2, 80], ["L", 3, 77.5], ["L", 4, 75], ["L", 9, 75], ["L", -1, 90],
    ["tint", 3, 1.5], ["tint", 2, 1], ["tint", 0, null], ["tint", 1, null], ["nothing", 1, null],
  ] as const) {
    assert.equal(valueAt(path, key, placeOf(path, dose)), want, `${key} at ${dose}`);
  }
});

test("a hue turns the short way, through 0", () => {
  assert.equal(valueAt(path, "h", placeOf(path, 1)), 0);
  assert.equal(valueAt(path, "h", placeOf(path, 0.5)), 355);
  assert.equal(valueAt(path, "h", placeOf(path, 3)), 20);
});

test("a path of no length has one place", () => {
  assert.deepEqual(placeOf({ ...path, dose: [0, 0, 0] }, 1), { index: 0, rest: 0 });
});

test("the share of a dose leads back to it", () => {
  for (const dose of [0, 0.7, 2, 3.9, 4]) {
    const percent = valueAt(path, "percent", placeOf(path, dose));
    assert.ok(percent !== null && Math.abs(doseAtPercent(path, percent) - dose) < 1e-12, `dose ${dose}`);
  }
  assert.equal(doseAtPercent(path, -1), 0);
  assert.equal(doseAtPercent(path, 50), 4);
});

test("the share is that of the blend: d mL make 100 + d mL", () => {
  const trace = toyTrace();
  for (const dose of [0.05, 3.33, 9.5, 20]) {
    const percent = valueAt(trace, "percent", placeOf(trace, dose)) ?? NaN;
    // Straight lines between doses 0.1 apart are within 0.0003 % of the curve.
    assert.ok(Math.abs(percent - (100 * dose) / (100 + dose)) < 3e-4, `dose ${dose}: ${percent}`);
    assert.ok(Math.abs(doseAtPercent(trace, percent) - dose) < 1e-9);
  }
});

test("colours are mixed channel by channel and rounded", () => {
  const bytes = bytesOf(path.colours.cell);
  for (const [dose, want] of [[0, "#ffffff"], [1, "#ffc080"], [2, "#ff8000"], [3, "#804000"], [4, "#000000"], [5, "#000000"]] as const) {
    assert.equal(colourAt(bytes, placeOf(path, dose)), want, `dose ${dose}`);
  }
});

test("a colour is clipped where the nearer dose is", () => {
  for (const [dose, want] of [[2, false], [2.9, false], [3, true], [4, true]] as const) {
    assert.equal(clippedAt(path, "cell", placeOf(path, dose)), want, `dose ${dose}`);
  }
});

test("levels of the glass are mixed between the doses they are given for", () => {
  const bytes = bytesOf(path.levels.colours);
  for (const [dose, want] of [[0, "#ff0000"], [2, "#800000"], [3, "#400000"], [4, "#000000"]] as const) {
    assert.equal(levelAt(path.levels, bytes, 1, placeOf(path, dose)), want, `dose ${dose}`);
    assert.equal(levelAt(path.levels, bytes, 0, placeOf(path, dose)), "#ffffff");
  }
});

test("words and standing hold for spans of doses, ends included", () => {
  assert.deepEqual([0, 2.9, 3, 4].map((dose) => wordAt(path, dose)), ["pale", "pale", "deep", "deep"]);
  assert.deepEqual(
    [0, 0.5, 1, 2, 2.1, 3.1].map((dose) => standingAt(path, dose)),
    ["outside", "nominal", "acceptable", "acceptable", "nominal", "outside"],
  );
});
