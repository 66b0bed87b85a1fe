// Two panels over one axis of doses: L* and the difference from the target.

import { axisBottom, axisLeft } from "d3-axis";
import { type ScaleLinear, scaleLinear } from "d3-scale";
import { line } from "d3-shape";
import type { Trace, Value } from "./data.js";
import { ink, white } from "./ink.js";
import { placeOf, valueAt } from "./lookup.js";
import { bar, circle, diamond, type Drawing, type Frame, group, type Mover, quieten, square, stroke, strokes, text } from "./marks.js";
import { coverage, dosesBetween, type Point } from "./projection.js";
import type { Say } from "./texts.js";

type Scale = ScaleLinear<number, number>;
/** Where a dose is, in px; its height is null where it has no value. */
type At = (dose: number) => [number, Value];

/** Between the panels, for the title of the lower one. */
const between = 34;
const rungSize = 3.5;

const toLine = line<[number, Value]>().defined(([, value]) => value !== null);

interface Panel {
  key: "L" | "delta_e";
  words: string;
  values: Value[];
  /** The ends of the upright axis must have these in sight. */
  shown: Value[];
}

/** How many panels there are: without a colour to reach there is no difference from it. */
export function panelsOf(trace: Trace): number {
  return hasDifference(trace) ? 2 : 1;
}

function hasDifference(trace: Trace): boolean {
  return trace.columns.delta_e?.some((value) => value !== null) ?? false;
}

export function drawPanels(into: Drawing, { x, y, width, height }: Frame, trace: Trace, say: Say): Mover {
  const drawing = group(into, x, y);
  const count = panelsOf(trace);
  const tall = (height - between * (count - 1)) / count;
  const across = scaleLinear().domain([0, trace.dose.at(-1) || 1]).range([0, width]);
  const under = group(drawing);
  const now = drawing // within the panels: between them stands a title
    .append("path")
    .attr("d", Array.from({ length: count }, (_, i) => `M0,${i * (tall + between)}v${tall}`).join(""))
    .attr("stroke", ink);
  const movers = panels(trace, say).map((panel, i) => {
    const top = i * (tall + between);
    const at = drawPanel(group(under, 0, top), panel, trace, across, tall, i === count - 1);
    const over = group(drawing, 0, top);
    text(over, panel.words, 0, -10, "start", ink);
    return moverOf(over, at);
  });
  text(under, say("chart.dose"), width, height + 36, "end", ink);
  return (dose) => {
    now.attr("transform", `translate(${across(dose)},0)`);
    for (const move of movers) move(dose);
  };
}

function panels(trace: Trace, say: Say): Panel[] {
  const { chart, columns } = trace;
  const of = (key: string) => columns[key] ?? [];
  const list: Panel[] = [
    {
      key: "L",
      words: say("chart.L"),
      values: of("L"),
      shown: [
        ...of("L"), ...(chart.predicted?.L ?? []), chart.target?.L ?? null,
        ...chart.measured.flatMap(({ L, uL }) => [L - coverage * (uL ?? 0), L + coverage * (uL ?? 0)]),
      ],
    },
  ];
  if (hasDifference(trace)) {
    const shown = [0, ...of("delta_e"), chart.target?.tolerance ?? null, ...chart.measured.map((read) => read.delta_e)];
    list.push({ key: "delta_e", words: say("chart.delta_e"), values: of("delta_e"), shown });
  }
  return list;
}

/** Draws all but what moves, and tells where a dose is on the panel's line. */
function drawPanel(into: Drawing, panel: Panel, trace: Trace, across: Scale, tall: number, last: boolean): At {
  const shown = panel.shown.filter((value) => value !== null);
  const up = scaleLinear().domain([Math.min(...shown), Math.max(...shown)]).range([tall, 0]).nice(4);
  const wide = across.range()[1] ?? 0;
  const bottom = group(into, 0, tall);
  const doses = axisBottom(across).ticks(wide / 60).tickSizeInner(-tall).tickSizeOuter(0).tickPadding(7);
  quieten(bottom.call(last ? doses : doses.tickFormat(() => "")));
  quieten(group(into).call(axisLeft(up).ticks(Math.max(tall / 32, 2)).tickSizeInner(-wide).tickSizeOuter(0).tickPadding(7)));
  const at: At = (dose) => {
    const value = valueAt(trace, panel.key, placeOf(trace, dose));
    return [across(dose), value === null ? null : up(value)];
  };
  drawPath(into, panel, trace, at, across, up);
  drawMarks(into, panel, trace, at, across, up);
  return at;
}

function moverOf(into: Drawing, at: At): Mover {
  const dot = into.append("circle").attr("r", 4.5).attr("fill", white).attr("stroke", ink).attr("stroke-width", 2);
  return (dose) => {
    const [x, y] = at(dose);
    dot.attr("cx", x).attr("cy", y ?? 0).attr("display", y === null ? "none" : null);
  };
}

function drawPath(into: Drawing, { key, values }: Panel, trace: Trace, at: At, across: Scale, up: Scale): void {
  const { acceptable, predicted, target } = trace.chart;
  const wide = across.range()[1] ?? 0;
  const level = (value: Value | undefined, style: (typeof strokes)["tolerance"]) => {
    if (value != null) stroke(into, `M0,${up(value)}H${wide}`, style);
  };
  if (key === "L") level(target?.L, strokes.target);
  else level(target?.tolerance, strokes.tolerance);
  if (acceptable) stroke(into, toLine(dosesBetween(trace, acceptable).map(at)), strokes.acceptable);
  if (key === "L" && predicted) {
    stroke(into, toLine(predicted.L.map((L, i) => [across(trace.dose[i] ?? 0), up(L)])), strokes.predicted);
  }
  stroke(into, toLine(values.map((value, i) => [across(trace.dose[i] ?? 0), value === null ? null : up(value)])), strokes.path);
}

function drawMarks(into: Drawing, { key }: Panel, { chart }: Trace, at: At, across: Scale, up: Scale): void {
  for (const rung of chart.rungs) {
    const [x, y] = at(rung.dose);
    if (y !== null) circle(into, x, y, rungSize, rung.hex ?? white);
  }
  for (const read of chart.measured) {
    const value = read[key];
    if (value === null) continue;
    const [x, y]: Point = [across(read.dose), up(value)];
    if (key === "L") bar(into, x, y, up(0) - up(coverage * (read.uL ?? 0)), true);
    square(into, x, y);
  }
  if (key === "L" && chart.target) diamond(into, across.range()[1] ?? 0, up(chart.target.L));
}
