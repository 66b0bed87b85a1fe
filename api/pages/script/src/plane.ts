// The path in the a*b* plane.

import { axisBottom, axisLeft } from "d3-axis";
import { scaleLinear } from "d3-scale";
import { line } from "d3-shape";
import type { ChartData, Trace } from "./data.js";
import { digitWidth, ink, textSize, white } from "./ink.js";
import { placeOf, valueAt } from "./lookup.js";
import {
  bar, circle, crossHair, diamond, type Drawing, ellipse, type Frame, group, type Mover, quieten, square, stroke, strokes, text,
} from "./marks.js";
import { covers, type Dot, overlap, place, type Box, within } from "./placement.js";
import { coverage, dosesBetween, ellipseOf, type Extent, extentOf, fit, type Point, type Projection, spoke } from "./projection.js";
import type { Say } from "./texts.js";

const rungSize = 5.5;
/** Of the cross-hair, so that a target or a rung shows in it. */
const opening = 9;
/** Room for a label beyond the outermost mark. */
const margin = 26;
/** A spoke in sight for less has no label: it would crowd those about the neutral point. */
const shortSpoke = 64;

const toLine = line<Point>();

/** How tall a plane so wide must be for all of an extent to fill its width. */
export function heightFor({ a, b }: Extent, width: number): number {
  return ((b[1] - b[0]) * (width - 2 * margin)) / (a[1] - a[0]) + 2 * margin;
}

export function drawPlane(into: Drawing, { x, y, width, height }: Frame, trace: Trace, say: Say): Mover {
  const drawing = group(into, x, y);
  const to = fit(extentOf(trace), width, height, margin);
  const at = (dose: number): Point => {
    const there = placeOf(trace, dose);
    return [to.x(valueAt(trace, "a", there) ?? 0), to.y(valueAt(trace, "b", there) ?? 0)];
  };
  const path = trace.dose.map(at);
  drawAxes(drawing, to, width, height, say);
  drawSpokes(drawing, to);
  const { chart } = trace;
  if (chart.acceptable) stroke(drawing, toLine(dosesBetween(trace, chart.acceptable).map(at)), strokes.acceptable);
  drawPredicted(drawing, chart, to);
  stroke(drawing, toLine(path), strokes.path);
  if (chart.target) {
    const outline = chart.target.outline.map(([a, b]): Point => [to.x(a), to.y(b)]);
    if (outline.length > 0) stroke(drawing, `${toLine(outline)}Z`, strokes.tolerance);
  }
  const marks = drawMarks(drawing, chart, to);
  const labels = labelRungs(drawing, chart, to, path, marks, width, height);
  labelSpokes(drawing, to, [...marks, ...dotsOf(path)], labels, width, height);
  return drawNow(drawing, to, trace, width, height);
}

function drawAxes(into: Drawing, to: Projection, width: number, height: number, say: Say): void {
  const across = scaleLinear().domain(to.a).range([0, width]);
  const up = scaleLinear().domain(to.b).range([height, 0]);
  const count = Math.max(width / 80, 2);
  const ticks = across.ticks(count);
  const step = (ticks[1] ?? 1) - (ticks[0] ?? 0); // the same up as across
  const upwards: number[] = [];
  for (let i = Math.ceil(to.b[0] / step); i * step <= to.b[1]; i++) upwards.push(i * step);
  const bottom = group(into, 0, height);
  quieten(bottom.call(axisBottom(across).tickValues(ticks).tickSizeInner(-height).tickSizeOuter(0).tickPadding(7)));
  const left = group(into);
  const upAxis = axisLeft(up).tickValues(upwards).tickFormat(across.tickFormat(count));
  quieten(left.call(upAxis.tickSizeInner(-width).tickSizeOuter(0).tickPadding(7)));
  text(into, say("chart.a"), width, height + 36, "end", ink);
  text(into, say("chart.b"), 0, -10, "start", ink);
}

function drawSpokes(into: Drawing, to: Projection): void {
  for (let hue = 0; hue < 360; hue += 30) {
    const ends = spoke(hue, to);
    if (ends) stroke(into, toLine(ends.map(([a, b]): Point => [to.x(a), to.y(b)])), strokes.spoke);
  }
}

function drawPredicted(into: Drawing, chart: ChartData, to: Projection): void {
  const { a, b } = chart.predicted ?? { a: [], b: [] };
  stroke(into, toLine(a.map((value, i): Point => [to.x(value), to.y(b[i] ?? 0)])), strokes.predicted);
}

/** Draws rungs, readings and target, and tells where they are. */
function drawMarks(into: Drawing, chart: ChartData, to: Projection): Dot[] {
  const dots: Dot[] = [];
  for (const rung of chart.rungs) {
    const dot = { x: to.x(rung.a), y: to.y(rung.b), r: rungSize };
    circle(into, dot.x, dot.y, dot.r, rung.hex ?? white);
    dots.push(dot);
  }
  for (const read of chart.measured) {
    const dot = { x: to.x(read.a), y: to.y(read.b), r: 6 };
    bar(into, dot.x, dot.y, coverage * (read.ua ?? 0) * to.scale, false);
    bar(into, dot.x, dot.y, coverage * (read.ub ?? 0) * to.scale, true);
    square(into, dot.x, dot.y);
    dots.push(dot);
  }
  if (chart.target) {
    const dot = { x: to.x(chart.target.a), y: to.y(chart.target.b), r: 8 };
    diamond(into, dot.x, dot.y);
    dots.push(dot);
  }
  return dots;
}

/** A line as dots, for labels to keep off. */
function dotsOf(path: readonly Point[]): Dot[] {
  return path.map(([x, y]) => ({ x, y, r: 2 }));
}

function labelRungs(
  into: Drawing, { rungs }: ChartData, to: Projection, path: readonly Point[], marks: readonly Dot[], width: number, height: number,
): Box[] {
  const wanted = rungs.map((rung, i) => {
    const before = rungs[Math.max(i - 1, 0)] ?? rung;
    const after = rungs[Math.min(i + 1, rungs.length - 1)] ?? rung;
    const dx = to.x(after.a) - to.x(before.a);
    const dy = to.y(after.b) - to.y(before.b);
    const length = Math.hypot(dx, dy) || 1;
    const up = dx >= 0 ? 1 : -1; // the side of the path that is above it
    return {
      at: { x: to.x(rung.a), y: to.y(rung.b), r: rungSize },
      width: digitWidth * (rung.label?.length ?? 0),
      height: textSize,
      best: (dx || dy ? [(up * dy) / length, (-up * dx) / length] : [0, -1]) as [number, number],
    };
  });
  const boxes = place(wanted, [...marks, ...dotsOf(path)], width, height);
  boxes.forEach((box, i) => {
    // Digits stand on the line, a third of their size below the middle.
    if (box) text(into, rungs[i]?.label ?? "", box.x, box.y + textSize * 0.36, "middle", ink);
  });
  return boxes.filter((box) => box !== null);
}

function labelSpokes(
  into: Drawing, to: Projection, dots: readonly Dot[], taken: readonly Box[], width: number, height: number,
): void {
  const boxes = [...taken];
  for (let hue = 0; hue < 360; hue += 30) {
    const ends = spoke(hue, to)?.map(([a, b]): Point => [to.x(a), to.y(b)]);
    const [from, end] = ends ?? [];
    if (!from || !end || Math.hypot(end[0] - from[0], end[1] - from[1]) < shortSpoke) continue;
    const words = `${hue}°`;
    const box = { x: 0, y: 0, width: digitWidth * words.length, height: textSize };
    box.x = Math.min(Math.max(end[0], box.width / 2 + 3), width - box.width / 2 - 3);
    box.y = Math.min(Math.max(end[1], box.height / 2 + 3), height - box.height / 2 - 3);
    const free = within(box, width, height) && !dots.some((dot) => covers(box, dot)) && !boxes.some((other) => overlap(box, other));
    if (!free) continue;
    boxes.push(box);
    text(into, words, box.x, box.y + textSize * 0.36, "middle");
  }
}

/** The cross-hair of the dose that is shown, with what is sure about it. */
function drawNow(into: Drawing, to: Projection, trace: Trace, width: number, height: number): Mover {
  const frame = into.append("svg").attr("width", width).attr("height", height);
  const now = frame.append("g");
  const resize = ellipse(now);
  const hair = frame.append("g");
  crossHair(hair, opening, Math.max(width, height));
  return (dose) => {
    const at = placeOf(trace, dose);
    const value = (key: string) => valueAt(trace, key, at) ?? 0;
    const x = to.x(value("a"));
    const y = to.y(value("b"));
    const { long, short, turn } = ellipseOf(value("ua"), value("ub"), value("rab"), coverage * to.scale);
    now.attr("transform", `translate(${x},${y}) rotate(${-turn})`);
    resize(long, short);
    hair.attr("transform", `translate(${x},${y})`);
  };
}
