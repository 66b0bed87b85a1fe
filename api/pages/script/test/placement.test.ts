import assert from "node:assert/strict";
import { test } from "node:test";
import { type Box, covers, fromTheEnds, overlap, place, type Wanted, within } from "../src/placement.js";

const label = (x: number, y: number): Wanted => ({ at: { x, y, r: 5 }, width: 16, height: 12, best: [0, -1] });

test("labels cover neither each other nor a mark, and stay in the frame", () => {
  for (const apart of [40, 18, 12, 6, 2]) {
    const wanted = Array.from({ length: 21 }, (_, i) => label(30 + i * apart, 100 + 10 * Math.sin(i)));
    const dots = wanted.map(({ at }) => at);
    const placed = place(wanted, dots, 900, 200).filter((box): box is Box => box !== null);
    assert.ok(placed.length > 2, `${placed.length} of 21 placed, ${apart} px apart`);
    assert.ok(apart < 20 || placed.length === 21, `all of 21 placed, ${apart} px apart`);
    placed.forEach((box, i) => {
      assert.ok(within(box, 900, 200));
      assert.ok(!dots.some((dot) => covers(box, dot)));
      assert.ok(!placed.slice(i + 1).some((other) => overlap(box, other)));
    });
  }
});

test("the best side is taken where it is free, and none where there is no room", () => {
  const [box] = place([label(50, 50)], [{ x: 50, y: 50, r: 5 }], 100, 100);
  assert.ok(box && box.y < 50 && box.x === 50);
  assert.deepEqual(place([label(5, 5)], [], 10, 10), [null]);
});

test("the ends come first, then the middles, each once", () => {
  assert.deepEqual(fromTheEnds(5), [0, 4, 2, 1, 3]);
  for (const n of [0, 1, 2, 21]) {
    assert.deepEqual([...fromTheEnds(n)].sort((a, b) => a - b), Array.from({ length: n }, (_, i) => i));
  }
});
