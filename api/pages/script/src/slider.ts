// The controls of one addition: two sliders, two buttons and a field, all of
// one dose.

import type { SliderData } from "./data.js";
import { fixed, plainDose, roundDose } from "./figures.js";
import { doseAtPercent, type Place, placeOf, valueAt } from "./lookup.js";
import { Numbers, textAt } from "./numbers.js";
import { type Direction, nextGraduation, nextRung } from "./steps.js";
import { fill } from "./texts.js";
import { typedDose, writtenInField } from "./written.js";

/** Told of a slider's doings by itself. */
export interface Listener {
  /** The dose is another; the control that moved it needs no writing. */
  moved(slider: Slider, by?: Element): void;
  /** The hand has let go; unheard where nothing has spoken the new dose. */
  settled(slider: Slider, unheard: boolean): void;
}

export class Slider {
  dose: number;
  readonly field: HTMLInputElement | null;
  readonly #dose: HTMLInputElement | null;
  readonly #percent: HTMLInputElement | null;
  readonly #numbers: Numbers;
  /** What is at fault in the field stays there until the dose is moved. */
  #keepsField: boolean;

  constructor(
    root: HTMLElement,
    readonly data: SliderData,
    private readonly announcement: string,
    private readonly listener: Listener,
  ) {
    this.dose = data.dose;
    this.#dose = root.querySelector<HTMLInputElement>("input[data-dose]");
    this.#percent = root.querySelector<HTMLInputElement>("input[data-percent]");
    this.field = root.querySelector<HTMLInputElement>(`input[name="${data.name}"]`);
    this.#numbers = new Numbers(root.querySelectorAll<HTMLElement>("[data-live]"));
    this.#keepsField = this.atFault();
    root.addEventListener("input", (event) => this.#input(event.target));
    root.addEventListener("change", (event) => {
      if (event.target === this.#dose || event.target === this.#percent) listener.settled(this, false);
    });
    root.addEventListener("keydown", (event) => this.#key(event));
    root.addEventListener("click", (event) => this.#click(event.target));
  }

  /** Sets the dose within the slider's ends. */
  move(dose: number, by?: Element): void {
    this.dose = roundDose(Math.min(Math.max(dose, 0), this.data.largest));
    this.#keepsField = false;
    this.listener.moved(this, by);
  }

  /** Whether the server found fault with what the field had. */
  atFault(): boolean {
    return this.field?.hasAttribute("aria-invalid") ?? false;
  }

  /** Whether the field holds a dose that the path has, so that nothing need be asked. */
  takesField(): boolean {
    return this.#typed() !== null;
  }

  #typed(): number | null {
    const dose = this.field && !this.atFault() ? typedDose(this.field.value) : null;
    return dose !== null && dose <= this.data.largest ? dose : null;
  }

  /** The dose and its colour in words. */
  words(place: Place): string {
    return fill(this.announcement, (name) => textAt(this.data.trace, name, this.dose, place));
  }

  /** Writes the dose to all controls but the one that moved it. */
  show(by?: Element): void {
    const { trace } = this.data;
    const place = placeOf(trace, this.dose);
    const words = this.words(place);
    const write = (control: HTMLInputElement | null, text: string) => {
      if (control && control !== by && control.value !== text) control.value = text;
    };
    write(this.#dose, plainDose(this.dose));
    write(this.#percent, fixed(valueAt(trace, "percent", place) ?? 0, 2));
    if (!this.#keepsField) write(this.field, writtenInField(plainDose(this.dose)));
    for (const control of [this.#dose, this.#percent]) control?.setAttribute("aria-valuetext", words);
    this.#numbers.show(trace, this.dose, place);
  }

  #input(target: EventTarget | null): void {
    if (target === this.#dose && this.#dose) this.move(Number(this.#dose.value), this.#dose);
    if (target === this.#percent && this.#percent) this.move(this.#doseOfShare(this.#percent), this.#percent);
    const dose = target === this.field ? this.#typed() : null;
    if (dose !== null && this.field) this.move(dose, this.field);
  }

  /** The slider of shares ends at a rounded share, and there means the end. */
  #doseOfShare(control: HTMLInputElement): number {
    if (Number(control.value) >= Number(control.max)) return this.data.largest;
    return Number(doseAtPercent(this.data.trace, Number(control.value)).toFixed(3));
  }

  #key(event: KeyboardEvent): void {
    const onShare = event.target === this.#percent;
    if ((event.target !== this.#dose && !onShare) || event.altKey || event.ctrlKey || event.metaKey) return;
    const { step, largest, rungs } = this.data;
    const move = (dose: number) => {
      event.preventDefault();
      this.move(dose);
      this.listener.settled(this, false);
    };
    const arrow = directionOf(event.key);
    if (event.key === "PageUp" || event.key === "PageDown") {
      move(nextRung(this.dose, rungs, event.key === "PageUp" ? 1 : -1));
    } else if (arrow && onShare) {
      // One graduation, as on the slider of doses, which does so by itself.
      move(nextGraduation(this.dose, step, largest, arrow));
    }
  }

  #click(target: EventTarget | null): void {
    const button = target instanceof Element ? target.closest("button[data-move]") : null;
    if (!button) return;
    const direction = button.getAttribute("data-move") === "1" ? 1 : -1;
    this.move(nextGraduation(this.dose, this.data.step, this.data.largest, direction));
    this.listener.settled(this, true);
  }
}

function directionOf(key: string): Direction | null {
  if (key === "ArrowRight" || key === "ArrowUp") return 1;
  return key === "ArrowLeft" || key === "ArrowDown" ? -1 : null;
}
