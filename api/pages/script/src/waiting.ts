// What waits to be sent, on the page: how many, which, and since the server could
// not be reached, that the figures are without them.

import type { Standing } from "./queue.js";
import { fill } from "./texts.js";

export class Waiting {
  readonly #list: HTMLElement;
  readonly #head: HTMLElement;
  readonly #reason: HTMLElement;
  readonly #choice: HTMLElement;
  readonly #reload: HTMLElement;

  constructor(
    private readonly root: HTMLElement,
    ways: { again(): void; leaveOut(): void },
  ) {
    const part = (name: string) => root.querySelector<HTMLElement>(`[data-part="${name}"]`)!;
    this.#head = part("head");
    this.#list = part("list");
    this.#reason = part("reason");
    this.#choice = part("choice");
    this.#reload = part("reload");
    part("again").addEventListener("click", () => ways.again());
    part("leave-out").addEventListener("click", () => ways.leaveOut());
  }

  show(standing: Standing): void {
    const { entries, unreachable, refused } = standing;
    const kept = this.root.ownerDocument.documentElement.hasAttribute("data-kept");
    // What is sent at once is not worth a word; what waited is, until it is there.
    const atOnce = entries.length === 1 && !unreachable && !refused && this.root.hidden;
    this.root.hidden = (entries.length === 0 && !kept) || atOnce;
    const text = refused ? this.root.dataset.refused : unreachable ? this.root.dataset.unreachable : this.root.dataset.sending;
    const words = kept && entries.length === 0 ? this.root.dataset.kept : text;
    this.#head.textContent = fill(words ?? "", () => String(entries.length));
    this.#reload.hidden = window.isSecureContext;
    this.#list.replaceChildren(
      ...entries.map((entry) => {
        const item = this.root.ownerDocument.createElement("li");
        item.textContent = entry.words;
        return item;
      }),
    );
    this.#choice.hidden = !refused;
    if (!refused) this.#reason.textContent = "";
  }

  /** Says why the first entry was refused, in the words of the page that was answered. */
  reason(words: string): void {
    this.#reason.textContent = words;
  }
}
