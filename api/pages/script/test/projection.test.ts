import assert from "node:assert/strict";
import { test } from "node:test";
import type { Trace } from "../src/data.js";
import { dosesBetween, ellipseOf, extentOf, fit, spoke } from "../src/projection.js";
import { toyTrace } from "./toy.js";

const near = (got: number, want: number, what: string) => assert.ok(Math.abs(got - want) < 1e-9, `${what}: ${got}, want ${want}`);

test("the plane has one scale for both axes, a* to the right and b* up", () => {
  for (const extent of [
    { a: [0, 40], b: [0, 10] }, { a: [0, 5], b: [2, 30] }, { a: [-1, 45], b: [7, 27] }, { a: [3, 3], b: [3, 3] },
  ] as { a: [number, number]; b: [number, number] }[]) {
    const to = fit(extent, 400, 300, 20);
    near(to.x(11) - to.x(10), to.scale, "a unit of a*");
    near(to.y(10) - to.y(11), to.scale, "a unit of b*");
    near(to.x(to.a[0]), 0, "left");
    near(to.x(to.a[1]), 400, "right");
    near(to.y(to.b[0]), 300, "bottom");
    near(to.y(to.b[1]), 0, "top");
    for (const a of extent.a) assert.ok(to.x(a) >= 20 - 1e-9 && to.x(a) <= 380 + 1e-9, `a* ${a} at ${to.x(a)}`);
    for (const b of extent.b) assert.ok(to.y(b) >= 20 - 1e-9 && to.y(b) <= 280 + 1e-9, `b* ${b} at ${to.y(b)}`);
  }
});

test("room to spare brings the neutral point into sight", () => {
  for (const b of [[20, 30], [-30, -20]] as [number, number][]) {
    const to = fit({ a: [0, 40], b }, 400, 300, 20);
    assert.ok(to.b[0] < 0 && to.b[1] > 0, `b* from ${to.b[0]} to ${to.b[1]}`);
  }
  // None to spare: the path comes first.
  assert.ok(fit({ a: [0, 10], b: [30, 37] }, 400, 300, 20).b[0] > 0);
});

test("the extent holds the path and all marks", () => {
  const trace = toyTrace();
  const { a, b } = extentOf(trace);
  const within = (x: number, y: number) => x >= a[0] && x <= a[1] && y >= b[0] && y <= b[1];
  trace.dose.forEach((_, i) => assert.ok(within(trace.columns.a?.[i] ?? NaN, trace.columns.b?.[i] ?? NaN), `dose ${i}`));
  for (const [x, y] of trace.chart.target?.outline ?? []) assert.ok(within(x, y));
  for (const read of trace.chart.measured) assert.ok(within(read.a + 2 * (read.ua ?? 0), read.b - 2 * (read.ub ?? 0)));
});

test("spokes lie at their hue and end at the edge", () => {
  const frame = { a: [-5, 40] as [number, number], b: [-3, 30] as [number, number] };
  for (let hue = 0; hue < 360; hue += 30) {
    const ends = spoke(hue, frame);
    assert.ok(ends, `hue ${hue}`);
    const [[a0, b0], [a, b]] = ends;
    near(Math.hypot(a0, b0), 0, "start");
    near(((Math.atan2(b, a) * 180) / Math.PI + 360) % 360, hue, "hue");
    const edges = [a - frame.a[0], a - frame.a[1], b - frame.b[0], b - frame.b[1]];
    near(Math.min(...edges.map(Math.abs)), 0, `hue ${hue} from the edge`);
  }
  assert.equal(spoke(180, { a: [5, 40], b: [5, 30] }), null);
  assert.equal(spoke(0, { a: [5, 40], b: [5, 30] }), null);
  assert.ok(spoke(30, { a: [5, 40], b: [5, 30] }));
});

// An ellipse of k standard uncertainties reaches, along a direction n, as far as k
// times the standard uncertainty of the value along n: the root of nᵀ C n, by the
// law of propagation of uncertainty.
test("the ellipse is as wide in each direction as the uncertainty there", () => {
  for (const [u, v, r] of [[0.5, 0.3, 0.6], [0.2, 0.9, -0.8], [0.4, 0.4, 0], [0.3, 0, 0], [0.5, 0.5, 1]] as const) {
    const { long, short, turn } = ellipseOf(u, v, r, 2);
    for (let degrees = 0; degrees < 180; degrees += 15) {
      const angle = (degrees * Math.PI) / 180;
      const [na, nb] = [Math.cos(angle), Math.sin(angle)];
      const want = 2 * Math.sqrt(Math.max(na * na * u * u + 2 * na * nb * r * u * v + nb * nb * v * v, 0));
      const own = angle - (turn * Math.PI) / 180;
      assert.ok(Math.abs(Math.hypot(long * Math.cos(own), short * Math.sin(own)) - want) < 1e-7, `${u} ${v} ${r} at ${degrees}°`);
    }
  }
});

test("a stretch of the path has its own ends and all doses between", () => {
  assert.deepEqual(dosesBetween({ dose: [0, 1, 2, 3, 4] } as Trace, [0.5, 3]), [0.5, 1, 2, 3]);
});
