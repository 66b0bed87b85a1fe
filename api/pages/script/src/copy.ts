// Copies tables as cells: by the button above each, or whatever part of one is
// selected by Ctrl-C.

import { htmlOf, type Shown, type Table, tableOf, textOf } from "./cells.js";
import { followLanguage } from "./follow.js";

const words = document.currentScript instanceof HTMLScriptElement ? document.currentScript.dataset : {};

// This script is on every page. Where the browser keeps nothing, there is nothing to follow.
void followLanguage(document).catch(() => {});

document.addEventListener("click", (event) => {
  const button = event.target instanceof Element ? event.target.closest("[data-copy-cells]") : null;
  const bar = button?.parentElement;
  const beside = bar?.nextElementSibling;
  const table = beside instanceof HTMLTableElement ? beside : beside?.querySelector("table");
  if (bar && table) void copy(table, bar.querySelector("[role=status]"));
});

document.addEventListener("copy", (event) => {
  const taken = selected();
  if (!taken || !event.clipboardData) return;
  event.preventDefault();
  event.clipboardData.setData("text/plain", textOf(taken));
  event.clipboardData.setData("text/html", htmlOf(taken));
});

async function copy(table: HTMLTableElement, status: Element | null): Promise<void> {
  const cells = read(table, () => true);
  const blob = (type: string, text: string) => new Blob([text], { type });
  let told = words.done;
  try {
    // Browsers have no clipboard for pages that others could have altered on the way.
    await navigator.clipboard.write([new ClipboardItem({
      "text/plain": blob("text/plain", textOf(cells)),
      "text/html": blob("text/html", htmlOf(cells)),
    })]);
  } catch {
    getSelection()?.selectAllChildren(table);
    told = words.press;
  }
  if (status) status.textContent = told ?? "";
}

/** What is selected of a table, where it is of one alone and more than a cell. */
function selected(): Table | null {
  const selection = getSelection();
  const active = document.activeElement;
  if (!selection || selection.isCollapsed || active instanceof HTMLInputElement || active instanceof HTMLTextAreaElement) return null;
  const tables = [...document.querySelectorAll("table")].filter((table) => selection.containsNode(table, true));
  const table = tables[0];
  if (!table || tables.length > 1 || beyond(selection, table)) return null;
  const touched = [...table.querySelectorAll("th, td")].filter((cell) => selection.containsNode(cell, true));
  return touched.length > 1 ? read(table, (cell) => touched.includes(cell)) : null;
}

/** Whether words outside of a table are selected too. */
function beyond(selection: Selection, table: Element): boolean {
  for (let i = 0; i < selection.rangeCount; i++) {
    const range = selection.getRangeAt(i);
    if (table.contains(range.commonAncestorContainer)) continue;
    const copied = range.cloneContents();
    copied.querySelector("table")?.remove();
    if (copied.textContent?.trim()) return true;
  }
  return false;
}

/** Reads the wanted cells of a table; the others of their rows and columns are empty. */
function read(table: HTMLTableElement, wanted: (cell: Element) => boolean): Table {
  const head = table.tHead?.rows[0];
  const rows = [...table.rows].filter((row) => [...row.cells].some(wanted));
  const grid = rows.map((row) => [...row.cells].flatMap((cell) => [
    wanted(cell) ? shown(cell) : empty,
    ...Array.from({ length: cell.colSpan - 1 }, () => empty),
  ]));
  const used = grid.flatMap((row) => row.flatMap((cell, i) => (cell === empty ? [] : [i])));
  const [first, last] = [Math.min(...used), Math.max(...used)];
  const cut = grid.map((row) => row.slice(first, last + 1));
  const [headers, ...body] = cut;
  const { from = "", to = "", note = "" } = words;
  return rows[0] === head && headers ? tableOf(headers, body, { from, to, note }) : tableOf(null, cut, { from, to, note });
}

const empty: Shown = { text: "", notes: [] };

/** A cell; where its attribute data-cell has more than is seen, such as the whole of what is shortened, that. */
function shown(cell: HTMLTableCellElement): Shown {
  const notes: string[] = [];
  const said = (node: Node): string => {
    if (node instanceof Text) return node.data;
    if (!(node instanceof Element) || node.hasAttribute("hidden")) return "";
    if (node instanceof SVGElement) return node.querySelector(":scope > rect")?.getAttribute("fill") ?? "";
    const inner = [...node.childNodes].map(said).join("");
    if (node.localName !== "small") return ["p", "li", "br", "div", "span"].includes(node.localName) ? ` ${inner} ` : inner;
    notes.push(even(inner));
    return "";
  };
  const text = cell.dataset.cell ?? even([...cell.childNodes].map(said).join(""));
  const time = cell.querySelector("time");
  const moment = time && even(time.textContent ?? "") === text ? momentOf(time) : undefined;
  const words = cell.matches(".word, .name");
  return { text, notes: notes.filter(Boolean), words, ...(moment && { moment }) };
}

function momentOf(time: HTMLTimeElement): string | undefined {
  const [, day, clock] = /^(\d{4}-\d\d-\d\d)T(\d\d:\d\d):\d\dZ$/.exec(time.dateTime) ?? [];
  return day && /\d\s?[:h]\s?\d\d/.test(time.textContent ?? "") ? `${day} ${clock}` : day;
}

/** Without the blanks of the source and those that bring decimal marks below each other. */
function even(text: string): string {
  return text.replace(/[ \n\t]+/g, " ").replace(/[\s\u2007]*±[\s\u2007]*/g, " ± ").replace(/^[\s\u2007]+|[\s\u2007]+$/g, "");
}
