// The swatches of the blend, and the marks where a screen cannot show it.

import type { Colour, Trace } from "./data.js";
import { bytesOf, clippedAt, colourAt, type Place } from "./lookup.js";

const colours: readonly Colour[] = ["cell", "glass"];

export class Swatches {
  readonly #fills = new Map<Colour, Element[]>();
  readonly #marks = new Map<Colour, Element[]>();
  #trace?: Trace;
  #bytes = new Map<Colour, Uint8Array>();

  constructor(root: ParentNode) {
    for (const colour of colours) {
      this.#fills.set(colour, [...root.querySelectorAll(`[data-fill="${colour}"]`)]);
      this.#marks.set(colour, [...root.querySelectorAll(`[data-clip="${colour}"]`)]);
    }
  }

  show(trace: Trace, place: Place): void {
    if (trace !== this.#trace) {
      this.#trace = trace;
      for (const colour of colours) this.#bytes.set(colour, bytesOf(trace.colours[colour]));
    }
    for (const colour of colours) {
      const bytes = this.#bytes.get(colour);
      if (!bytes) continue;
      const hex = colourAt(bytes, place);
      for (const element of this.#fills.get(colour) ?? []) element.setAttribute("fill", hex);
      const clipped = clippedAt(trace, colour, place);
      for (const element of this.#marks.get(colour) ?? []) reveal(element, clipped);
    }
  }
}

/** Drawings know no hidden attribute, so they go by display. */
function reveal(element: Element, shown: boolean): void {
  if (element instanceof HTMLElement) element.hidden = !shown;
  else if (shown) element.removeAttribute("display");
  else element.setAttribute("display", "none");
}
