import { strict as assert } from "node:assert";
import { test } from "node:test";
import { orderOf, tapped } from "../src/order.js";

test("what is tapped comes last, and tapped again it is out", () => {
  let order: string[] = [];
  for (const code of ["412", "938", "275"]) order = tapped(order, code);
  assert.deepEqual(order, ["412", "938", "275"]);
  assert.deepEqual(tapped(order, "938"), ["412", "275"]);
  assert.deepEqual(tapped(tapped(order, "412"), "412"), ["938", "275", "412"]);
});

test("ranks make an order as far as each is there once", () => {
  assert.deepEqual(orderOf(new Map()), []);
  assert.deepEqual(orderOf(new Map([["a", 2], ["b", 1]])), ["b", "a"]);
  assert.deepEqual(orderOf(new Map([["a", 2], ["b", 3]])), []);
  assert.deepEqual(orderOf(new Map([["a", 1], ["b", 2], ["c", 2]])), ["a"]);
});
