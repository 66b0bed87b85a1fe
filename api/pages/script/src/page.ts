// What follows the doses on the page as it stands, until it is renewed.

import { withValues } from "./address.js";
import { Chart } from "./chart.js";
import type { Data } from "./data.js";
import { plainDose } from "./figures.js";
import { Glass } from "./glass.js";
import { placeOf } from "./lookup.js";
import { Numbers } from "./numbers.js";
import { Slider } from "./slider.js";
import { Swatches } from "./swatches.js";

export class Page {
  readonly sliders: Slider[] = [];
  readonly #numbers: Numbers;
  readonly #swatches: Swatches;
  readonly #glass: Glass;
  readonly #links: HTMLAnchorElement[];
  readonly #chart: Chart | null;
  #active: Slider | undefined;
  #by: Element | undefined;
  #frame = 0;

  constructor(
    doc: Document,
    data: Data,
    /** Called when the hand lets go of a slider; with what to say, where it was not heard. */
    private readonly settled: (words: string | null) => void,
  ) {
    const listener = {
      moved: (slider: Slider, by?: Element) => this.#moved(slider, by),
      settled: (slider: Slider, unheard: boolean) => this.#settled(slider, unheard),
    };
    for (const root of doc.querySelectorAll<HTMLElement>("[data-slider]")) {
      const own = data.sliders[Number(root.dataset.slider)];
      if (own) this.sliders.push(new Slider(root, own, data.texts.announce ?? "", listener));
    }
    const elsewhere = [...doc.querySelectorAll<HTMLElement>("[data-live], [data-when]")];
    this.#numbers = new Numbers(elsewhere.filter((element) => !element.closest("[data-slider]")));
    this.#swatches = new Swatches(doc);
    this.#glass = new Glass(doc);
    this.#links = [...doc.querySelectorAll<HTMLAnchorElement>("a[data-address]")];
    this.#active = this.sliders[0];
    const host = doc.getElementById("chart");
    this.#chart = host && this.#active ? new Chart(host, (key) => data.texts[key] ?? "") : null;
    if (this.#active) this.#chart?.show(this.#active.data.trace, this.#active.dose);
    for (const slider of this.sliders) slider.show();
    this.#paint();
  }

  /** Whether a dose that was let go of needs no answer: nothing else depends on it. */
  standsAlone(): boolean {
    return this.sliders.length === 1 && !this.sliders[0]?.atFault();
  }

  /** The slider whose field this is. */
  sliderOf(field: EventTarget | null): Slider | undefined {
    return this.sliders.find((slider) => slider.field !== null && slider.field === field);
  }

  /** Sets the dose of one addition, as a link asks for. */
  go(index: number, dose: number): void {
    const slider = this.sliders[index];
    if (!slider) return;
    slider.move(dose);
    this.#settled(slider, true);
  }

  /** Lets the dose that was typed stand. */
  settle(slider: Slider): void {
    this.#settled(slider, true);
  }

  /** An address with the doses as they are now. */
  addressed(href: string): string {
    const doses = Object.fromEntries(this.sliders.map(({ data, dose }) => [data.name, plainDose(dose)]));
    return withValues(href, location.href, doses);
  }

  /** Ends what goes on by itself. */
  end(): void {
    cancelAnimationFrame(this.#frame);
    this.#chart?.end();
  }

  /** However often the hand moves, the page is written once for each frame. */
  #moved(slider: Slider, by?: Element): void {
    if (this.#frame !== 0 && slider !== this.#active) this.#paint();
    this.#by = by;
    if (slider !== this.#active) {
      this.#active = slider;
      this.#chart?.show(slider.data.trace, slider.dose);
    }
    if (this.#frame === 0) this.#frame = requestAnimationFrame(() => this.#paint());
  }

  #paint(): void {
    cancelAnimationFrame(this.#frame);
    this.#frame = 0;
    const slider = this.#active;
    if (!slider) return;
    const { trace } = slider.data;
    const place = placeOf(trace, slider.dose);
    slider.show(this.#by);
    this.#numbers.show(trace, slider.dose, place);
    this.#swatches.show(trace, place);
    this.#glass.show(trace, place);
    this.#chart?.move(slider.dose);
  }

  #settled(slider: Slider, unheard: boolean): void {
    if (this.#by !== slider.field) this.#by = undefined;
    this.#paint();
    for (const link of this.#links) link.href = this.addressed(link.getAttribute("href") ?? "");
    this.settled(unheard ? slider.words(placeOf(slider.data.trace, slider.dose)) : null);
  }
}
