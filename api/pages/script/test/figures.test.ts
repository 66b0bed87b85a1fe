import assert from "node:assert/strict";
import { test } from "node:test";
import { doseFigure, figure, fixed, plainDose } from "../src/figures.js";

test("numbers have their decimals, and no -0", () => {
  for (const [x, decimals, want] of [
    [82.44, 1, "82.4"], [82.45, 1, "82.5"], [9.5, 3, "9.500"], [-0.04, 1, "0.0"], [-0.06, 1, "-0.1"], [0, 0, "0"], [1e6, 0, "1000000"],
  ] as const) {
    assert.equal(fixed(x, decimals), want, `${x} to ${decimals}`);
  }
});

// Round half to even, the usual rounding of ISO/IEC 60559 (IEEE 754), applied to
// what the binary number is exactly: 2.675 lies below the half, 0.125 is one.
test("exact halves go to the even digit, on both sides of 0", () => {
  for (const [x, decimals, want] of [
    [0.5, 0, "0"], [1.5, 0, "2"], [2.5, 0, "2"], [30.5, 0, "30"], [31.5, 0, "32"], [-0.5, 0, "0"], [-1.5, 0, "-2"], [-2.5, 0, "-2"],
    [0.125, 2, "0.12"], [0.375, 2, "0.38"], [0.25, 1, "0.2"], [0.75, 1, "0.8"], [-0.25, 1, "-0.2"], [-0.75, 1, "-0.8"],
    [2.675, 2, "2.67"], [1.005, 2, "1.00"], [0.0625, 3, "0.062"],
  ] as const) {
    assert.equal(fixed(x, decimals), want, `${x} to ${decimals}`);
  }
});

test("signs are told, and what is missing is a dash", () => {
  for (const [x, want] of [[1.25, "+1.2"], [-1.26, "-1.3"], [0.01, "0.0"], [-0.01, "0.0"], [null, "–"]] as const) {
    assert.equal(figure(x, 1, true), want);
  }
  assert.equal(figure(-1.26, 1), "-1.3");
});

test("doses are plain in fields and addresses", () => {
  for (const [dose, want] of [[9.5, "9.5"], [8.700000000000001, "8.7"], [10, "10"], [0.00004, "0"], [7.25, "7.25"]] as const) {
    assert.equal(plainDose(dose), want);
  }
});

test("doses show what they have, and the decimals of their column", () => {
  for (const [dose, want] of [[10, "10.0"], [9.5, "9.5"], [7.25, "7.25"], [9.512, "9.512"]] as const) {
    assert.equal(doseFigure(dose, 1), want);
  }
});
