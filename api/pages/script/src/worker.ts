// What stands between the bench and the network: it keeps the trials' pages as
// they were last seen, so that one can be loaded again while the service cannot be
// reached. What is sent is none of its business; that waits on the page.

import { shelf, shelve } from "./shelf.js";

/** The parts of a service worker that are used; the page's own types know none. */
interface Passing extends Event {
  readonly request: Request;
  respondWith(answer: Promise<Response>): void;
}
interface Worker extends EventTarget {
  skipWaiting(): Promise<void>;
}
const worker = globalThis as unknown as Worker;

worker.addEventListener("install", () => void worker.skipWaiting());
worker.addEventListener("fetch", (event) => {
  const passing = event as Passing;
  if (passing.request.method === "GET") passing.respondWith(answer(passing.request));
});

/**
 * From the network, and kept; or, where that does not answer, what was kept. Where it
 * answers that this device may come in no more, nothing is kept any longer.
 */
async function answer(request: Request): Promise<Response> {
  const kept = await caches.open(shelf);
  try {
    const response = await fetch(request);
    if (response.status === 401) await caches.delete(shelf);
    if (response.ok && response.type === "basic") await shelve(kept, request, response.clone());
    return response;
  } catch (fault) {
    const old = await kept.match(request);
    if (!old) throw fault;
    return old.headers.get("Content-Type")?.startsWith("text/html") ? marked(old) : old;
  }
}

/** The page says itself that it is not fresh. */
async function marked(old: Response): Promise<Response> {
  const page = (await old.text()).replace("<html ", "<html data-kept ");
  return new Response(page, { status: old.status, headers: old.headers });
}
