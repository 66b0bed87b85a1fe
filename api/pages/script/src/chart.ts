// The chart: the plane, and the panels beside it or beneath it. It is drawn when
// its width or its path is another; a moving dose moves only its marks.

import { select } from "d3-selection";
import type { Trace } from "./data.js";
import { fixed, plainDose } from "./figures.js";
import { legendOf } from "./legend.js";
import type { Frame, Mover } from "./marks.js";
import { drawPanels, panelsOf } from "./panels.js";
import { drawPlane, heightFor } from "./plane.js";
import { extentOf } from "./projection.js";
import { fill, type Say } from "./texts.js";
import { written } from "./written.js";

/** From this width on the panels stand beside the plane. */
const roomy = 720;
const narrowest = 240;
const tallest = 440;

/** Around the frames, for axes and their words. */
const head = 26;
const foot = 44;
const side = 36;
const end = 10;

interface Layout {
  height: number;
  plane: Frame;
  panels: Frame;
}

/** The frames within a drawing so many px wide: a flat path needs no tall plane. */
function layout(width: number, trace: Trace): Layout {
  const beside = width >= roomy;
  const wide = beside ? Math.round(width * 0.58) : width;
  const plane = { x: side, y: head, width: wide - side - end, height: 0 };
  const wanted = heightFor(extentOf(trace), plane.width);
  plane.height = Math.round(Math.min(Math.max(wanted, plane.width * 0.54), plane.width * 0.85, tallest));
  const panels = panelsOf(trace);
  const below = head + plane.height + foot;
  if (beside) {
    const x = wide + side + 12;
    return { height: below, plane, panels: { x, y: head, width: width - x - end, height: plane.height } };
  }
  const tall = 90 * panels + 34 * (panels - 1);
  return { height: below + head + tall + foot, plane, panels: { ...plane, y: below + head, height: tall } };
}

/** The width within an element's padding; none while it is not shown. */
function roomIn(host: HTMLElement): number {
  const { paddingLeft, paddingRight } = getComputedStyle(host);
  return host.clientWidth - parseFloat(paddingLeft) - parseFloat(paddingRight);
}

export class Chart {
  readonly #observer: ResizeObserver;
  #trace: Trace | undefined;
  #dose = 0;
  #width = 0;
  #movers: Mover[] = [];

  constructor(
    private readonly host: HTMLElement,
    private readonly say: Say,
  ) {
    let frame = 0;
    this.#observer = new ResizeObserver(() => {
      cancelAnimationFrame(frame);
      frame = requestAnimationFrame(() => this.#draw());
    });
  }

  /** Draws a path with a dose on it. */
  show(trace: Trace, dose: number): void {
    this.#trace = trace;
    this.#dose = dose;
    this.#width = 0;
    this.#draw();
    this.#observer.observe(this.host);
  }

  /** Moves the marks to a dose. */
  move(dose: number): void {
    this.#dose = dose;
    for (const mover of this.#movers) mover(dose);
  }

  end(): void {
    this.#observer.disconnect();
  }

  #draw(): void {
    const room = roomIn(this.host);
    const width = Math.max(Math.floor(room), narrowest);
    const trace = this.#trace;
    if (!trace || width === this.#width || room <= 0) return;
    this.#width = width;
    const { height, plane, panels } = layout(width, trace);
    const svg = select(document.createElementNS("http://www.w3.org/2000/svg", "svg"));
    svg.attr("class", "chart-drawing").attr("role", "img").attr("width", width).attr("height", height);
    svg.attr("viewBox", `0 0 ${width} ${height}`).attr("pointer-events", "none");
    svg.append("title").attr("id", "chart-title").text(this.say("chart.title"));
    svg.append("desc").attr("id", "chart-summary").text(this.#summary(trace));
    const table = document.getElementById("table-about") ? " table-about" : "";
    svg.attr("aria-labelledby", "chart-title").attr("aria-describedby", `chart-summary${table}`);
    const drawing = svg.append("g");
    this.#movers = [drawPlane(drawing, plane, trace, this.say), drawPanels(drawing, panels, trace, this.say)];
    svg.selectAll("text").each(function () {
      const label = this as SVGTextElement;
      label.textContent = written(label.textContent ?? "");
    });
    this.host.replaceChildren(svg.node() as SVGSVGElement, legendOf(trace, this.say));
    this.move(this.#dose);
  }

  /** Both ends of the path in words. */
  #summary(trace: Trace): string {
    const last = trace.dose.length - 1;
    return fill(this.say("chart.summary"), (name) => {
      if (name === "dose") return written(plainDose(trace.dose[last] ?? 0));
      const [, key, from] = /^(.+)_(from|to)$/.exec(name) ?? [];
      const value = key ? trace.columns[key]?.[from === "from" ? 0 : last] : undefined;
      return key && value != null ? written(fixed(value, trace.decimals[key] ?? 0)) : undefined;
    });
  }
}
