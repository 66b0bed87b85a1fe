// Quicker ways to what the forms of an import do without script: files are dropped
// and cells pasted anywhere on the page, and what is mended is checked at once.

const send = document.querySelector<HTMLFormElement>("form#send");
if (send) takes(send);
else if (document.querySelector("form.draft")) checks();

/** Files that are dropped on the page, and cells that are pasted, are sent. */
function takes(form: HTMLFormElement): void {
  const files = form.querySelector<HTMLInputElement>("input[type=file]");
  const cells = form.querySelector<HTMLTextAreaElement>("textarea");
  const sign = document.querySelector<HTMLElement>(".drop");
  if (!files || !cells) return;
  const hasFiles = (event: DragEvent) => event.dataTransfer?.types.includes("Files") ?? false;
  const show = (shown: boolean) => {
    if (sign) sign.hidden = !shown;
  };
  document.addEventListener("dragover", (event) => {
    if (!hasFiles(event)) return;
    event.preventDefault();
    show(true);
  });
  document.addEventListener("dragleave", (event) => {
    if (!event.relatedTarget) show(false);
  });
  document.addEventListener("drop", (event) => {
    if (!hasFiles(event) || !event.dataTransfer) return;
    event.preventDefault();
    show(false);
    files.files = event.dataTransfer.files;
    form.requestSubmit();
  });
  document.addEventListener("paste", (event) => {
    const text = event.clipboardData?.getData("text/plain") ?? "";
    if (event.target !== cells && !event.clipboardData?.files.length && !/[\t\n]/.test(text)) return;
    if (event.target === cells) return;
    if (event.clipboardData?.files.length) files.files = event.clipboardData.files;
    else cells.value = text;
    event.preventDefault();
    form.requestSubmit();
  });
}

/** What is mended is checked when its field is left, and the page renewed beneath the hand. */
function checks(): void {
  let asked = 0;
  document.addEventListener("change", (event) => {
    const field = event.target;
    if (!(field instanceof HTMLInputElement || field instanceof HTMLSelectElement)) return;
    const form = field.form;
    if (!form?.matches("form.draft") || field.id === "all_or_nothing") return;
    void check(form, ++asked);
  });
  const check = async (form: HTMLFormElement, own: number) => {
    const body = new URLSearchParams();
    for (const [name, value] of new FormData(form)) if (typeof value === "string") body.append(name, value);
    body.set("do", "look");
    form.setAttribute("aria-busy", "true");
    try {
      const answer = await fetch(form.action, { method: "POST", body });
      const doc = new DOMParser().parseFromString(await answer.text(), "text/html");
      // A field that was changed meanwhile asks again.
      if (own !== asked) return;
      renew(form, doc);
    } catch {
      // Unreachable: what is typed stays, and the buttons tell in the browser's own way.
      form.removeAttribute("aria-busy");
    }
  };
}

/** Puts a newer page in place of this one; what is open, and where the hand is, stays. */
function renew(form: HTMLFormElement, doc: Document): void {
  const old = document.querySelector("main");
  const renewed = doc.querySelector("main");
  if (!old || !renewed?.querySelector("form.draft")) {
    location.reload();
    return;
  }
  for (const details of old.querySelectorAll("details[open]")) {
    const kind = details.className;
    for (const other of renewed.querySelectorAll("details")) if (other.className === kind) other.open = true;
  }
  const all = form.querySelector<HTMLInputElement>("#all_or_nothing")?.checked ?? false;
  const active = document.activeElement;
  const at = active?.id ?? "";
  const pressed = active instanceof HTMLButtonElement ? active.value : "";
  const typed = active instanceof HTMLInputElement && active.type === "text" ? active.value : null;
  const before = active?.getBoundingClientRect().top ?? 0;
  const scroll = old.querySelector(".scroll")?.scrollLeft ?? 0;
  old.replaceWith(renewed);
  const tick = renewed.querySelector<HTMLInputElement>("#all_or_nothing");
  if (tick) tick.checked = all;
  const table = renewed.querySelector(".scroll");
  if (table) table.scrollLeft = scroll;
  const again = at ? document.getElementById(at) : pressed ? renewed.querySelector<HTMLElement>(`button[value="${pressed}"]`) : null;
  if (again) {
    if (again instanceof HTMLInputElement && typed !== null) again.value = typed;
    again.focus({ preventScroll: true });
    scrollBy(0, again.getBoundingClientRect().top - before);
  }
  const said = document.getElementById("said");
  const words = renewed.querySelector<HTMLElement>("form.draft")?.dataset.draft ?? "";
  const counts = [...renewed.querySelectorAll(".counts > div")].map((one) => [...one.children].map((part) => part.textContent).join(" "));
  if (said) said.textContent = [words, ...counts].join(". ");
}
