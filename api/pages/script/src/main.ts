// The page's script: it moves doses without asking the server, and renews the
// page without losing what is at hand.

import { addressOf, queryOf } from "./address.js";
import { readData } from "./data.js";
import { fieldsOf, keep } from "./kept.js";
import { delayed, throttled } from "./later.js";
import { Page } from "./page.js";
import { stayHere } from "./language.js";
import { prepare, Refused, regionsOf, Renewal } from "./renew.js";
import { writeWith } from "./written.js";

/** What becomes of the address of the page when it is renewed. */
type History = "push" | "replace" | "leave";

const renewal = new Renewal();
let page: Page | null = null;
let texts: Record<string, string> = {};
/** The address of what the page shows. */
let shown = here();
/** What the form asked for at last, less the doses that sliders have. */
let asked = "";
/** How the renewal that is under way, or was put off, changes the address. */
let pendingHistory: History = "leave";
/** A renewal waits until the hand has let go of a slider. */
let postponed = false;
/** Fields that are taken out of the page are not left by the reader. */
let exchanging = false;

// Browsers bound how often an address may be replaced; held keys are faster.
const replaceAddress = throttled(400, () => history.replaceState(null, "", shown));
const renewSoon = delayed(150, () => void renew("replace", false));

function here(): string {
  return location.pathname + location.search;
}

function form(): HTMLFormElement | null {
  return document.querySelector<HTMLFormElement>("form#preview");
}

function entries(): [string, FormDataEntryValue][] {
  const own = form();
  return own ? [...new FormData(own)] : [];
}

/** What the form asks for, less the doses that sliders have. */
function typed(): string {
  const doses = new Set(page?.sliders.map((slider) => slider.data.name));
  return queryOf(entries().filter(([name]) => !doses.has(name)));
}

/** Says something to who hears the page, and where it matters to who sees it. */
function say(words: string, seen = false): void {
  const said = document.getElementById("said");
  if (!said) return;
  said.textContent = words;
  said.classList.toggle("unseen", !seen);
}

function begin(): void {
  page?.end();
  const data = readData(document);
  if (data) {
    texts = data.texts;
    writeWith(data.marks);
  }
  page = data && data.sliders.length > 0 ? new Page(document, data, settled) : null;
  asked = typed();
}

/** A dose was let go of. One alone changes the address; more change each other's paths. */
function settled(words: string | null): void {
  if (words !== null) say(words);
  if (postponed || renewal.pending) void renew(pendingHistory, false);
  else if (page && !page.standsAlone()) renewSoon.call();
  else if (page) {
    shown = page.addressed(addressOf(document, shown));
    replaceAddress.call();
  }
}

/** Asks for the page that the form describes, and shows it. */
async function renew(change: History, announced: boolean): Promise<void> {
  const own = form();
  if (!own) return;
  const address = `${new URL(own.action).pathname}?${queryOf(entries())}`;
  const values = new Map([...fieldsOf(own)].map(([name, field]) => [name, field.value]));
  asked = typed();
  const pushed = renewal.pending && pendingHistory === "push";
  await show(address, pushed ? "push" : change, announced, values);
}

/** Shows the page at an address; values are what the form had when it was asked for. */
async function show(address: string, change: History, announced: boolean, values?: Map<string, string>): Promise<void> {
  renewSoon.cancel();
  replaceAddress.flush();
  postponed = false;
  pendingHistory = change;
  say("");
  try {
    const answer = await renewal.ask(address);
    if (!answer) return;
    exchange(answer.doc, values);
    const next = addressOf(document, answer.address);
    if (change === "push" && next !== shown) history.pushState(null, "", next);
    else if (change !== "leave") history.replaceState(null, "", next);
    shown = change === "leave" ? here() : next;
    if (announced) say(texts.shown ?? "");
  } catch (fault) {
    const told = fault instanceof Refused ? fault.message : "";
    say(told || (texts.unreachable ?? ""), true);
  }
}

/** Exchanges the regions of the page; what was typed since it was asked for stays. */
function exchange(doc: Document, values?: Map<string, string>): void {
  const since: [string, string][] = [];
  for (const [name, field] of fieldsOf(form())) {
    const then = values?.get(name);
    if (then !== undefined && field.value !== then) since.push([name, field.value]);
  }
  exchanging = true;
  const restore = regionsOf(doc).map(({ old, renewed }) => {
    const again = keep(old);
    prepare(renewed);
    old.replaceWith(renewed);
    return () => again(renewed);
  });
  exchanging = false;
  document.title = doc.title;
  begin();
  const fields = fieldsOf(form());
  for (const [name, text] of since) {
    const field = fields.get(name);
    if (field) field.value = text;
  }
  for (const each of restore) each();
}

/** A field was left, or Enter was pressed in it. */
function fieldChanged(event: Event): void {
  const field = event.target;
  if (exchanging || !(field instanceof Element) || !("form" in field) || !field.form || field.form !== form()) return;
  const slider = page?.sliderOf(field);
  if (slider) {
    if (event.type !== "change") return;
    if (slider.takesField()) page?.settle(slider);
    else void renew("push", true);
  } else if (typed() !== asked) void renew("push", true);
}

function pressed(event: MouseEvent): void {
  if (event.button !== 0 || event.altKey || event.ctrlKey || event.metaKey || event.shiftKey) return;
  const link = event.target instanceof Element ? event.target.closest<HTMLElement>("a[data-go]") : null;
  if (!link || !page) return;
  event.preventDefault();
  page.go(Number(link.dataset.of ?? 0), Number(link.dataset.go));
}

/** The page must not be exchanged beneath a hand that holds a slider. */
function held(event: PointerEvent): void {
  if (event.target instanceof HTMLInputElement && event.target.type === "range" && renewal.abandon()) postponed = true;
}

function released(): void {
  setTimeout(() => {
    if (postponed) void renew(pendingHistory, false);
  });
}

document.addEventListener("change", fieldChanged);
// A field that the page was renewed beneath does not know that it was changed.
document.addEventListener("focusout", fieldChanged);
document.addEventListener("click", pressed);
document.addEventListener("pointerdown", held);
document.addEventListener("pointerup", released);
document.addEventListener("pointercancel", released);
document.addEventListener("submit", (event) => {
  if (event.target !== form()) return;
  event.preventDefault();
  void renew("push", true);
});
addEventListener("popstate", () => {
  replaceAddress.cancel();
  if (here() !== shown) void show(here(), "leave", true);
});

prepare(document);
begin();
stayHere();
