import assert from "node:assert/strict";
import { test } from "node:test";
import { nextGraduation, nextRung } from "../src/steps.js";

test("graduations are whole, within the slider, and never stand still between its ends", () => {
  for (const [dose, direction, want] of [
    [9.5, 1, 9.6], [9.5, -1, 9.4], [9.53, 1, 9.6], [9.53, -1, 9.5], [8.7, 1, 8.8], [0, -1, 0], [20, 1, 20], [19.95, 1, 20],
  ] as const) {
    assert.equal(nextGraduation(dose, 0.1, 20, direction), want, `${dose} by ${direction}`);
  }
  let dose = 0;
  for (let i = 1; i <= 200; i++) {
    dose = nextGraduation(dose, 0.1, 20, 1);
    assert.equal(dose, i / 10);
  }
});

test("rungs are those above and below", () => {
  const rungs = [0, 2, 5, 10];
  for (const [dose, direction, want] of [[0, 1, 2], [2, 1, 5], [2, -1, 0], [3, -1, 2], [3, 1, 5], [10, 1, 10], [12, -1, 10], [0, -1, 0]] as const) {
    assert.equal(nextRung(dose, rungs, direction), want, `${dose} by ${direction}`);
  }
});
