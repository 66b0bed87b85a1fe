import assert from "node:assert/strict";
import { test } from "node:test";
import { queryOf, withValues } from "../src/address.js";

test("a form's entries become a query that reads back the same", () => {
  const entries: [string, string][] = [["base", "scan"], ["base_scan", "400\t0.231\n410 0,2"], ["name", "Rosé & Söhne + 1"], ["tank_l", ""]];
  assert.deepEqual([...new URLSearchParams(queryOf(entries))], entries);
});

test("doses of an address are changed in place, or added", () => {
  const origin = "http://here/";
  assert.equal(withValues("/?base=a&red_dose=9.5&lamp=A", origin, { red_dose: "8" }), "/?base=a&red_dose=8&lamp=A");
  assert.equal(withValues("/preview/ladder.svg?base=a#top", origin, { red_dose: "8" }), "/preview/ladder.svg?base=a&red_dose=8#top");
  assert.equal(withValues("/", origin, { red_dose: "8", third_dose: "2" }), "/?red_dose=8&third_dose=2");
});
