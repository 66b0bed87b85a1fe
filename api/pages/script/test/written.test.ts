import assert from "node:assert/strict";
import { test } from "node:test";
import { typedDose, writeWith, written, writtenInField } from "../src/written.js";

const pointing = { decimal: ".", group: "\u202f" };
const commaing = { decimal: ",", group: "\u202f" };

test("numbers have the marks of the language", () => {
  for (const [text, point, comma] of [
    ["9.50", "9.50", "9,50"], ["-0.3", "−0.3", "−0,3"], ["0.1 – -0.2", "0.1 – −0.2", "0,1 – −0,2"], ["L-31, 2026-05-01, 1e-5", "L-31, 2026-05-01, 1e-5", "L-31, 2026-05-01, 1e-5"], ["12345.678901", "12\u202f345.678901", "12\u202f345,678901"], ["1234", "1234", "1234"],
    ["1234567", "1\u202f234\u202f567", "1\u202f234\u202f567"], ["0.12345", "0.12345", "0,12345"], ["–", "–", "–"], ["b* (+ yellower)", "b* (+ yellower)", "b* (+ yellower)"],
  ] as const) {
    writeWith(pointing);
    assert.equal(written(text), point);
    writeWith(commaing);
    assert.equal(written(text), comma);
  }
  assert.equal(writtenInField("12345.5"), "12345,5");
  writeWith(pointing);
  assert.equal(writtenInField("9.5"), "9.5");
});

test("only plain numbers are doses, with either mark", () => {
  for (const marks of [pointing, commaing]) {
    writeWith(marks);
    for (const [text, want] of [
      ["9.5", 9.5], ["9,5", 9.5], [" 10 ", 10], [".5", 0.5], [",5", 0.5], ["9.", 9], ["0,125", 0.125], ["1.234", 1.234], ["0", 0], ["", null], ["-1", null], ["1e2", null], ["0x1", null],
      ["9.5 mL", null], ["Infinity", null], ["1,234.5", null], ["1.234,5", null], [",", null],
    ] as const) {
      assert.equal(typedDose(text), want, `"${text}"`);
    }
    assert.equal(typedDose("1,234"), marks === commaing ? 1.234 : null);
  }
});
