import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { test } from "node:test";
import { placeOf } from "../src/lookup.js";
import { textAt } from "../src/numbers.js";
import { fill, textKeys } from "../src/texts.js";
import { toyTrace } from "./toy.js";

function catalogue(): Record<string, string> {
  const read = JSON.parse(readFileSync("../../text/en.json", "utf8")); // tests run in their folder
  return read.texts;
}

test("the catalogue has every word that the script shows, and no other for it", () => {
  const keys = Object.keys(catalogue()).filter((key) => key.startsWith("script."));
  assert.deepEqual(keys.sort(), textKeys.map((key) => `script.${key}`).sort());
});

test("all places of the announcement are filled", () => {
  const trace = toyTrace();
  const words = fill(catalogue()["script.announce"] ?? "", (name) => textAt(trace, name, 9.5, placeOf(trace, 9.5)));
  assert.match(words, /9\.5.*8\.7/);
  assert.doesNotMatch(words, /[{}]/);
});

test("a place without a value stays", () => {
  assert.equal(fill("{a} and {b}", (name) => (name === "a" ? "1" : undefined)), "1 and {b}");
});
