// What the reader has at hand, kept while the page beneath is exchanged: the
// focus and the caret, what is unfolded, how far a table is scrolled, and what
// was typed since.

export type Restore = (root: ParentNode) => void;

type Field = HTMLInputElement | HTMLTextAreaElement | HTMLSelectElement;

/** The fields of the form by name, with what is in them. */
export function fieldsOf(form: HTMLFormElement | null): Map<string, Field> {
  const fields = new Map<string, Field>();
  for (const element of form?.elements ?? []) {
    const isField =
      element instanceof HTMLInputElement || element instanceof HTMLTextAreaElement || element instanceof HTMLSelectElement;
    if (isField && element.name) fields.set(element.name, element);
  }
  return fields;
}

/** Remembers what the reader has at hand within a root. */
export function keep(root: Element): Restore {
  const focus = keepFocus(root);
  const open = pathsOf(root, "details[open]");
  const scrolled = [...root.querySelectorAll(".scroll")]
    .filter((element) => element.scrollLeft > 0)
    .map((element) => ({ path: pathTo(element, root), left: element.scrollLeft }));
  return (renewed) => {
    for (const path of open) follow(path, renewed)?.setAttribute("open", "");
    for (const { path, left } of scrolled) {
      const element = follow(path, renewed);
      if (element) element.scrollLeft = left;
    }
    focus?.(renewed);
  };
}

function pathsOf(root: Element, selector: string): string[] {
  return [...root.querySelectorAll(selector)].map((element) => pathTo(element, root));
}

/** Keeps the focus, the caret, and the place of the focus on the screen. */
function keepFocus(root: Element): Restore | null {
  const element = document.activeElement;
  if (!element || element === root || !root.contains(element)) return null;
  const path = pathTo(element, root);
  const top = element.getBoundingClientRect().top;
  const caret = caretOf(element);
  return (renewed) => {
    const again = follow(path, renewed);
    if (!(again instanceof HTMLElement)) return;
    again.focus({ preventScroll: true });
    if (caret) (again as HTMLInputElement).setSelectionRange?.(...caret);
    scrollBy({ top: again.getBoundingClientRect().top - top, behavior: "instant" });
  };
}

type Caret = [start: number, end: number, direction?: "forward" | "backward" | "none"];

/** Null where there is none, as in a slider. */
function caretOf(element: Element): Caret | null {
  if (!(element instanceof HTMLInputElement || element instanceof HTMLTextAreaElement)) return null;
  const { selectionStart: start, selectionEnd: end, selectionDirection } = element;
  return start === null || end === null ? null : [start, end, selectionDirection ?? undefined];
}

/** A selector of an element, from the nearest that has an id. */
function pathTo(element: Element, root: Element): string {
  const steps: string[] = [];
  let at: Element | null = element;
  for (; at && at !== root && !at.id; at = at.parentElement) {
    const tag = at.localName;
    const before = [...(at.parentElement?.children ?? [])].filter((other) => other.localName === tag);
    steps.unshift(`${tag}:nth-of-type(${before.indexOf(at) + 1})`);
  }
  steps.unshift(at && at !== root ? `#${CSS.escape(at.id)}` : ":scope");
  return steps.join(" > ");
}

function follow(path: string, root: ParentNode): Element | null {
  return root.querySelector(path);
}
