// What the signs of the chart mean, in words; it names only what is drawn.

import { select } from "d3-selection";
import type { Trace } from "./data.js";
import { white } from "./ink.js";
import { bar, circle, crossHair, diamond, type Drawing, ellipse, square, stroke, strokes } from "./marks.js";
import type { Say, TextKey } from "./texts.js";

const wide = 34;
const tall = 22;

interface Entry {
  key: TextKey;
  drawn: boolean;
  draw(into: Drawing): void;
}

const flat = `M${3 - wide / 2},0H${wide / 2 - 3}`;

function entriesOf({ chart }: Trace): Entry[] {
  return [
    {
      key: "chart.now",
      drawn: true,
      draw(into) {
        ellipse(into, 6, 4.5);
        crossHair(into, 7, 13);
      },
    },
    { key: "chart.path", drawn: true, draw: (into) => stroke(into, flat, strokes.path) },
    { key: "chart.predicted", drawn: chart.predicted !== null, draw: (into) => stroke(into, flat, strokes.predicted) },
    { key: "chart.acceptable", drawn: chart.acceptable !== null, draw: (into) => stroke(into, flat, strokes.acceptable) },
    { key: "chart.rung", drawn: chart.rungs.length > 0, draw: (into) => circle(into, 0, 0, 5.5, white) },
    {
      key: "chart.measured",
      drawn: chart.measured.length > 0,
      draw(into) {
        bar(into, 0, 0, 11, false);
        square(into, 0, 0);
      },
    },
    { key: "chart.target", drawn: chart.target !== null, draw: (into) => diamond(into, 0, 0) },
    { key: "chart.tolerance", drawn: (chart.target?.tolerance ?? null) !== null, draw: (into) => stroke(into, flat, strokes.tolerance) },
  ];
}

export function legendOf(trace: Trace, say: Say): HTMLElement {
  const list = document.createElement("ul");
  list.className = "chart-legend";
  for (const entry of entriesOf(trace)) {
    const words = say(entry.key);
    if (!entry.drawn || !words) continue;
    const item = list.appendChild(document.createElement("li"));
    const svg = select(item).append("svg").attr("class", "chart-key").attr("aria-hidden", "true");
    svg.attr("width", wide).attr("height", tall).attr("viewBox", `${-wide / 2} ${-tall / 2} ${wide} ${tall}`);
    entry.draw(svg.append("g"));
    item.append(words);
  }
  return list;
}
