// The a*b* plane on a drawing: a* to the right, b* up, both to one scale.

import type { Trace, Value } from "./data.js";

export type Span = [low: number, high: number];
export type Point = [x: number, y: number];

export interface Extent {
  a: Span;
  b: Span;
}

/** Standard uncertainties are drawn this many times as long. */
export const coverage = 2;

/** What must have room in the plane: the path with its uncertainty, and all marks. */
export function extentOf(trace: Trace): Extent {
  const a: number[] = [];
  const b: number[] = [];
  const add = (x: Value | undefined, y: Value | undefined, ux: Value = 0, uy: Value = 0) => {
    if (x == null || y == null) return;
    a.push(x - coverage * (ux ?? 0), x + coverage * (ux ?? 0));
    b.push(y - coverage * (uy ?? 0), y + coverage * (uy ?? 0));
  };
  const { columns, chart } = trace;
  trace.dose.forEach((_, i) => add(columns.a?.[i], columns.b?.[i], columns.ua?.[i], columns.ub?.[i]));
  chart.predicted?.a.forEach((x, i) => add(x, chart.predicted?.b[i]));
  for (const rung of chart.rungs) add(rung.a, rung.b);
  for (const read of chart.measured) add(read.a, read.b, read.ua, read.ub);
  if (chart.target) add(chart.target.a, chart.target.b);
  for (const [x, y] of chart.target?.outline ?? []) add(x, y);
  return { a: [Math.min(...a), Math.max(...a)], b: [Math.min(...b), Math.max(...b)] };
}

export interface Projection extends Extent {
  /** Pixels for one unit of a* and of b*. */
  scale: number;
  x(a: number): number;
  y(b: number): number;
}

/**
 * Fits an extent, less a margin in px on all sides, into a frame. Room to spare
 * is shared by both sides, or goes towards the neutral point where that brings
 * it into sight.
 */
export function fit(extent: Extent, width: number, height: number, margin: number): Projection {
  const least = 2; // units of a* and b*: a path of no length is no scale
  const size = ([low, high]: Span) => Math.max(high - low, least);
  const scale = Math.min((width - 2 * margin) / size(extent.a), (height - 2 * margin) / size(extent.b));
  const a = widened(extent.a, width / scale, margin / scale);
  const b = widened(extent.b, height / scale, margin / scale);
  return { a, b, scale, x: (value) => (value - a[0]) * scale, y: (value) => (b[1] - value) * scale };
}

function widened([low, high]: Span, size: number, margin: number): Span {
  const spare = (size - (high - low)) / 2;
  const start = low - spare;
  const movable = Math.max(spare - margin, 0);
  const short = start + margin; // of the neutral point, from below
  const over = start + size - margin;
  const shift = short > 0 ? Math.min(short, movable) : over < 0 ? Math.max(over, -movable) : 0;
  return [start - shift, start - shift + size];
}

/** The part of the ray from the neutral point at a hue in degrees that is in sight. */
export function spoke(hue: number, { a, b }: Extent): [Point, Point] | null {
  const direction: Point = [Math.cos((hue * Math.PI) / 180), Math.sin((hue * Math.PI) / 180)];
  let from = 0;
  let to = Infinity;
  for (const [along, [low, high]] of [[direction[0], a], [direction[1], b]] as const) {
    if (Math.abs(along) < 1e-12) {
      if (low > 0 || high < 0) return null;
      continue;
    }
    const ends = [low / along, high / along];
    from = Math.max(from, Math.min(...ends));
    to = Math.min(to, Math.max(...ends));
  }
  if (!(to > from)) return null;
  const at = (t: number): Point => [t * direction[0], t * direction[1]];
  return [at(from), at(to)];
}

/** An ellipse by its half axes and by how far the first is turned from a* to b*, in degrees. */
export interface Ellipse {
  long: number;
  short: number;
  turn: number;
}

/** Where two values with standard uncertainties and their correlation lie, k times as wide. */
export function ellipseOf(u: number, v: number, correlation: number, k: number): Ellipse {
  const mixed = correlation * u * v;
  const mean = (u * u + v * v) / 2;
  const apart = Math.hypot((u * u - v * v) / 2, mixed);
  return {
    long: k * Math.sqrt(mean + apart),
    short: k * Math.sqrt(Math.max(mean - apart, 0)),
    turn: (Math.atan2(2 * mixed, u * u - v * v) * 90) / Math.PI,
  };
}

/** The doses of a stretch of a path: its ends, and what is computed between. */
export function dosesBetween(trace: Trace, [low, high]: Span): number[] {
  return [low, ...trace.dose.filter((dose) => dose > low && dose < high), high];
}
