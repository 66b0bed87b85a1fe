// Pages that are kept for when the service cannot be reached follow the language that was
// used last: those in another one are fetched anew.

import { shelf, shelve } from "./shelf.js";

/** What the browser remembers beside the shelf: the language that all of it is in. */
const remembered = "kept language";

/** Has the kept pages follow the language of this page, unless it is one of them itself. */
export async function followLanguage(doc: Document): Promise<void> {
  const { lang } = doc.documentElement;
  if (doc.documentElement.hasAttribute("data-kept") || localStorage.getItem(remembered) === lang) return;
  if (!("caches" in globalThis) || !(await caches.has(shelf))) return;
  const kept = await caches.open(shelf);
  for (const request of await kept.keys()) {
    const old = await kept.match(request);
    if (!old?.headers.get("Content-Type")?.startsWith("text/html") || languageOf(await old.text()) === lang) continue;
    const fresh = await fetch(request.url);
    if (fresh.ok) await shelve(kept, request.url, fresh);
  }
  localStorage.setItem(remembered, lang);
}

/** The language of a page, as its first element says. */
export function languageOf(page: string): string | undefined {
  return /<html\b[^>]*\blang="([^"]*)"/.exec(page)?.[1];
}
