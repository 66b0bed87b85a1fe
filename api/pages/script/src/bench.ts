// The script of the bench: what is entered is sent without leaving the page, and
// waits where the server cannot be reached. Without it the forms send themselves.

import { type Answer, type Entry, Queue } from "./queue.js";
import { keepPage, keepThis } from "./shelf.js";
import { stayHere } from "./language.js";
import { fill } from "./texts.js";
import { Waiting } from "./waiting.js";

/** Presses of one button that follow within this many ms are those of one thumb that trembles. */
const trembling = 400;

const stored = `waiting ${location.pathname}`;
const root = document.getElementById("waiting");
if (root) begin(root);
stayHere();

function begin(root: HTMLElement): void {
  let wake = () => {};
  const queue = new Queue(
    {
      send,
      later(ms, run) {
        const timer = setTimeout(run, ms);
        wake = () => {
          clearTimeout(timer);
          run();
        };
      },
      changed(standing) {
        waiting.show(standing);
        keep(standing.entries);
      },
      answered: show,
      stopped: (page) => waiting.reason(faultsOf(page)),
    },
    kept(),
  );
  const waiting = new Waiting(root, { again: () => queue.again(), leaveOut: () => queue.leaveOut() });
  addEventListener("online", () => wake());
  addEventListener("beforeunload", (event) => {
    if (queue.standing.entries.length > 0) event.preventDefault();
  });
  addEventListener("popstate", () => location.reload());
  let last: Element | null = null;
  let at = -Infinity;
  document.addEventListener("submit", (event) => {
    const form = event.target;
    if (!(form instanceof HTMLFormElement) || !form.dataset.entry) return;
    event.preventDefault();
    const pressed = event.submitter ?? form;
    const trembled = pressed === last && event.timeStamp - at < trembling;
    last = pressed;
    at = event.timeStamp;
    if (trembled) return;
    queue.add(entryOf(form, event.submitter));
    renewKey(form);
  });
  queue.again();
  const old = document.documentElement.hasAttribute("data-kept");
  if (root.dataset.worker && !old) void keepThis(document, root.dataset.worker).catch(() => {});
}

function entryOf(form: HTMLFormElement, submitter: HTMLElement | null): Entry {
  const data = new FormData(form, submitter);
  const text = (name: string) => String(data.get(name) ?? "");
  const body = new URLSearchParams([...data].map(([name, value]) => [name, String(value)]));
  return { to: form.action, body: body.toString(), words: fill(form.dataset.entry ?? "", text).trim() };
}

/** The next press of a form that stays on the page is another entry. */
function renewKey(form: HTMLFormElement): void {
  const key = form.elements.namedItem("key");
  if (!(key instanceof HTMLInputElement)) return;
  const random = crypto.getRandomValues(new Uint8Array(16));
  key.value = [...random].map((byte) => byte.toString(16).padStart(2, "0")).join("");
}

async function send(entry: Entry): Promise<Answer> {
  try {
    const headers = { "Content-Type": "application/x-www-form-urlencoded" };
    const response = await fetch(entry.to, { method: "POST", headers, body: entry.body });
    // Who is not paired any more (401), or knocked too often (429), waits too: the entry
    // is sent once the device is paired again.
    if (response.status >= 500 || response.status === 401 || response.status === 429) return { kind: "unreachable" };
    const page = await response.text();
    return response.ok ? { kind: "taken", address: response.url, page } : { kind: "refused", page };
  } catch {
    return { kind: "unreachable" };
  }
}

/** Shows the page that the server answered with in place of this one. */
function show(answer: Exclude<Answer, { kind: "unreachable" }>): void {
  const doc = new DOMParser().parseFromString(answer.page, "text/html");
  const main = doc.querySelector("main");
  const old = document.querySelector("main");
  if (!main || !old) {
    location.reload();
    return;
  }
  const again = focusOf(old);
  old.replaceWith(main);
  document.documentElement.removeAttribute("data-kept");
  document.title = doc.title;
  if (answer.kind === "taken") {
    if (answer.address !== location.href) history.pushState(null, "", answer.address);
    void keepPage(answer.address, answer.page).catch(() => {});
  }
  if (answer.kind === "refused") main.querySelector("[role=alert], [aria-invalid]")?.scrollIntoView({ block: "nearest" });
  again(main);
}

/** Which button has the focus, by its place among all; the function gives it back in another main. */
function focusOf(main: Element): (renewed: Element) => void {
  const all = (of: Element) => [...of.querySelectorAll<HTMLElement>("button, a[href], input, select, textarea, summary")];
  const active = document.activeElement;
  const before = active instanceof HTMLElement ? all(main).indexOf(active) : -1;
  return (renewed) => {
    if (before >= 0) all(renewed)[before]?.focus({ preventScroll: true });
  };
}

/** What a page says is wrong. */
function faultsOf(page: string): string {
  const doc = new DOMParser().parseFromString(page, "text/html");
  return [...doc.querySelectorAll(".notes li, main > .hero p")].map((e) => e.textContent?.trim() ?? "").join(" ");
}

function keep(entries: readonly Entry[]): void {
  try {
    if (entries.length > 0) sessionStorage.setItem(stored, JSON.stringify(entries));
    else sessionStorage.removeItem(stored);
  } catch {
    // A browser that keeps nothing still has them on the page.
  }
}

function kept(): Entry[] {
  try {
    const read: unknown = JSON.parse(sessionStorage.getItem(stored) ?? "[]");
    return Array.isArray(read) ? read.filter(isEntry) : [];
  } catch {
    return [];
  }
}

function isEntry(value: unknown): value is Entry {
  const entry = value as Entry | null;
  return typeof entry?.to === "string" && typeof entry.body === "string" && typeof entry.words === "string";
}
