// Numbers and words in the text that follow the dose.

import type { Trace } from "./data.js";
import { doseFigure, figure } from "./figures.js";
import { type Place, standingAt, valueAt, wordAt } from "./lookup.js";
import { written } from "./written.js";

/** What a bound element shows at a dose; undefined where the path has no such column. */
export function textAt(trace: Trace, key: string, dose: number, place: Place, signed = false): string | undefined {
  const decimals = trace.decimals[key] ?? 0;
  if (key === "dose") return written(doseFigure(dose, decimals));
  if (key === "word") return wordAt(trace, dose);
  if (!(key in trace.columns)) return undefined;
  return written(figure(valueAt(trace, key, place), decimals, signed));
}

export class Numbers {
  readonly #bound: { element: Element; key: string; signed: boolean }[];
  readonly #conditions: HTMLElement[];

  /** Takes those of the elements that are bound. */
  constructor(elements: Iterable<HTMLElement>) {
    this.#bound = [];
    this.#conditions = [];
    for (const element of elements) {
      const { live, when, signed } = element.dataset;
      if (live !== undefined) this.#bound.push({ element, key: live, signed: signed !== undefined });
      if (when !== undefined) this.#conditions.push(element);
    }
  }

  show(trace: Trace, dose: number, place: Place): void {
    for (const { element, key, signed } of this.#bound) {
      const text = textAt(trace, key, dose, place, signed);
      if (text !== undefined && element.textContent !== text) element.textContent = text;
    }
    const standing = standingAt(trace, dose);
    for (const element of this.#conditions) element.hidden = element.dataset.when !== standing;
  }
}
