// The signs of the chart, alike in the plane, the panels and the legend.

import type { Selection } from "d3-selection";
import { hairline, ink, mild, quiet, textSize, white } from "./ink.js";

export type Drawing = Selection<SVGGElement, unknown, null, undefined>;

/** Writes the dose that is shown into the chart. */
export type Mover = (dose: number) => void;

export interface Frame {
  x: number;
  y: number;
  width: number;
  height: number;
}

export function group(into: Drawing, x = 0, y = 0): Drawing {
  return into.append("g").attr("transform", `translate(${x},${y})`);
}

interface Stroke {
  colour: string;
  width: number;
  dashes?: string;
}

export const strokes = {
  path: { colour: ink, width: 1.5 },
  predicted: { colour: quiet, width: 1, dashes: "7 4" },
  tolerance: { colour: ink, width: 1.25, dashes: "3 3" },
  acceptable: { colour: mild, width: 9 },
  spoke: { colour: mild, width: 1, dashes: "1 4" },
  target: { colour: quiet, width: 1, dashes: "1 3" },
  now: { colour: ink, width: 1 },
} satisfies Record<string, Stroke>;

export function stroke(into: Drawing, d: string | null, style: Stroke): void {
  if (!d) return;
  into
    .append("path")
    .attr("d", d)
    .attr("fill", "none")
    .attr("stroke", style.colour)
    .attr("stroke-width", style.width)
    .attr("stroke-dasharray", style.dashes ?? null);
}

export function circle(into: Drawing, x: number, y: number, r: number, fill: string): void {
  into.append("circle").attr("cx", x).attr("cy", y).attr("r", r).attr("fill", fill).attr("stroke", ink);
}

export function square(into: Drawing, x: number, y: number): void {
  into
    .append("rect")
    .attr("x", x - 3.5)
    .attr("y", y - 3.5)
    .attr("width", 7)
    .attr("height", 7)
    .attr("fill", white)
    .attr("stroke", ink)
    .attr("stroke-width", 1.5);
}

/** An error bar of a half length to each side, with ends across it. */
export function bar(into: Drawing, x: number, y: number, half: number, upright: boolean): void {
  if (!(half > 0)) return;
  const d = upright
    ? `M${x - 3},${y - half}h6m-3,0V${y + half}m-3,0h6`
    : `M${x - half},${y - 3}v6m0,-3H${x + half}m0,-3v6`;
  stroke(into, d, { colour: ink, width: 1 });
}

export function diamond(into: Drawing, x: number, y: number): void {
  stroke(into, `M${x},${y - 7}l7,7l-7,7l-7,-7z`, { colour: white, width: 4 });
  stroke(into, `M${x},${y - 7}l7,7l-7,7l-7,-7z`, { colour: ink, width: 1.5 });
}

/** A cross-hair about the origin, open about its middle. */
export function crossHair(into: Drawing, open: number, reach: number): void {
  const lines = `M${-reach},0H${-open}M${open},0H${reach}M0,${-reach}V${-open}M0,${open}V${reach}`;
  stroke(into, lines, { colour: ink, width: 0.75 });
  into.append("circle").attr("r", 3.25).attr("fill", ink).attr("stroke", white).attr("stroke-width", 1.5);
}

/** An ellipse about the origin, hollow so that no wine's colour is changed beneath it. */
export function ellipse(into: Drawing, rx = 0, ry = 0): (rx: number, ry: number) => void {
  const lines = [white, quiet].map((colour, i) =>
    into.append("ellipse").attr("fill", "none").attr("stroke", colour).attr("stroke-width", i === 0 ? 3 : 1),
  );
  const size = (width: number, height: number) => {
    for (const each of lines) each.attr("rx", width).attr("ry", height);
  };
  size(rx, ry);
  return size;
}

export function text(into: Drawing, words: string, x: number, y: number, anchor: "start" | "middle" | "end", fill = quiet): void {
  into
    .append("text")
    .attr("x", x)
    .attr("y", y)
    .attr("text-anchor", anchor)
    .attr("font-size", textSize)
    .attr("fill", fill)
    .attr("stroke", white)
    .attr("stroke-width", 3)
    .attr("stroke-linejoin", "round")
    .attr("paint-order", "stroke")
    .text(words);
}

/** Gives an axis of d3's the chart's own face: hairlines across, quiet text. */
export function quieten(axis: Drawing): void {
  axis.attr("font-size", textSize).attr("font-family", null);
  axis.selectAll(".domain").attr("stroke", quiet);
  axis.selectAll(".tick line").attr("stroke", hairline);
  axis.selectAll(".tick text").attr("fill", quiet);
}
