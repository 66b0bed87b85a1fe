// The pages that are kept on this device for when the service cannot be reached.

/** The name of the browser's cache that they are in. */
export const shelf = "bench";

/**
 * Keeps this page and what it is shown with, and has them answered while the
 * service cannot be reached. Browsers offer it only where nobody on the way can
 * alter a page: on this machine, or over TLS.
 */
export async function keepThis(doc: Document, worker: string): Promise<void> {
  if (!("serviceWorker" in navigator)) return;
  await navigator.serviceWorker.register(worker);
  const parts = [...doc.querySelectorAll<HTMLLinkElement | HTMLScriptElement>("link[rel=stylesheet], script[src]")];
  const kept = await caches.open(shelf);
  const addresses = [location.href, ...parts.map((part) => ("href" in part ? part.href : part.src))];
  await Promise.all(addresses.map(async (address) => {
    const answer = await fetch(address);
    if (answer.ok) await shelve(kept, address, answer);
  }));
}

/**
 * Puts an answer in the place of what was kept of its address. It is kept without its header
 * Vary: by that the cache would keep one beside the other, by what the browser had sent with
 * each, and show the older one.
 */
export async function shelve(kept: Cache, asked: RequestInfo, answer: Response): Promise<void> {
  const { status, statusText } = answer;
  const headers = new Headers(answer.headers);
  headers.delete("Vary");
  await kept.put(asked, new Response(await answer.blob(), { status, statusText, headers }));
}

/** Keeps a page that came by another way than by being loaded. */
export async function keepPage(address: string, page: string): Promise<void> {
  if (!("caches" in globalThis)) return;
  const kept = await caches.open(shelf);
  await kept.put(address, new Response(page, { headers: { "Content-Type": "text/html; charset=utf-8" } }));
}
