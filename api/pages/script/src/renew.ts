// The page is renewed by asking for it at its new address and exchanging the
// regions that the server marks.

/** Told in the server's own words where it answered with something else. */
export class Refused extends Error {}

export class Renewal {
  #asking: AbortController | null = null;

  get pending(): boolean {
    return this.#asking !== null;
  }

  /** Gives up what was asked for; reports whether there was something. */
  abandon(): boolean {
    const had = this.pending;
    this.#asking?.abort();
    this.#asking = null;
    return had;
  }

  /**
   * The page at an address, and the address it came from in the end. Null where
   * something newer was asked for meanwhile. It fails where there is no answer
   * or no such page in it.
   */
  async ask(address: string): Promise<{ doc: Document; address: string } | null> {
    this.abandon();
    const asking = new AbortController();
    this.#asking = asking;
    try {
      const answer = await fetch(address, { headers: { Accept: "text/html" }, signal: asking.signal });
      const text = await answer.text();
      if (this.#asking !== asking) return null;
      const doc = new DOMParser().parseFromString(text, "text/html");
      if (!doc.querySelector("[data-part]")) throw new Refused(toldIn(doc));
      const at = new URL(answer.url);
      return { doc, address: at.pathname + at.search };
    } catch (fault) {
      if (this.#asking !== asking) return null;
      throw fault;
    } finally {
      if (this.#asking === asking) this.#asking = null;
    }
  }
}

/** What a page of the server's says in its head and first line. */
function toldIn(doc: Document): string {
  const told = [...doc.querySelectorAll("main h1, main h1 ~ p")].slice(0, 2);
  return told.map((element) => element.textContent?.trim()).join(". ");
}

/** The regions of the page that the document has anew, old and new. */
export function regionsOf(doc: Document): { old: Element; renewed: Element }[] {
  const pairs = [];
  for (const old of document.querySelectorAll("[data-part]")) {
    const renewed = doc.querySelector(`[data-part="${CSS.escape(old.getAttribute("data-part") ?? "")}"]`);
    if (renewed) pairs.push({ old, renewed });
  }
  return pairs;
}

/** Makes a region fit for a page with script: a parser without it opens noscript. */
export function prepare(region: ParentNode): void {
  for (const element of region.querySelectorAll("noscript")) element.remove();
  for (const element of region.querySelectorAll<HTMLElement>("[data-needs-script]")) element.hidden = false;
}
