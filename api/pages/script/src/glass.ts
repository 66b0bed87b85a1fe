// The wine in the drawn glasses: a colour for each depth.

import type { Trace } from "./data.js";
import { bytesOf, levelAt, type Place } from "./lookup.js";

export class Glass {
  /** Stops by the level that they show; both glasses have some of each. */
  readonly #stops = new Map<number, Element[]>();
  #trace?: Trace;
  #bytes: Uint8Array = new Uint8Array();

  constructor(root: ParentNode) {
    for (const stop of root.querySelectorAll("stop[data-level]")) {
      const level = Number(stop.getAttribute("data-level"));
      const alike = this.#stops.get(level);
      if (alike) alike.push(stop);
      else this.#stops.set(level, [stop]);
    }
  }

  show(trace: Trace, place: Place): void {
    if (trace !== this.#trace) {
      this.#trace = trace;
      this.#bytes = bytesOf(trace.levels.colours);
    }
    for (const [level, stops] of this.#stops) {
      const hex = levelAt(trace.levels, this.#bytes, level, place);
      for (const stop of stops) stop.setAttribute("stop-color", hex);
    }
  }
}
