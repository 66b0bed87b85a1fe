// Narrows a list while one types. Without the script the form does it by its button.

import { queryOf } from "./address.js";
import { delayed } from "./later.js";

for (const form of document.querySelectorAll<HTMLFormElement>("form[data-renews]")) {
  const list = document.getElementById(form.dataset.renews ?? "");
  if (list) narrows(form, list);
}

function narrows(form: HTMLFormElement, list: HTMLElement): void {
  let asked = 0;
  const renew = async () => {
    const own = ++asked;
    const address = `${new URL(form.action).pathname}?${queryOf([...new FormData(form)])}`;
    try {
      const response = await fetch(address);
      const doc = new DOMParser().parseFromString(await response.text(), "text/html");
      const found = doc.getElementById(list.id);
      // Answers may come in another order than they were asked for.
      if (!found || own !== asked) return;
      list.replaceChildren(...found.childNodes);
      history.replaceState(null, "", address);
    } catch {
      // Unreachable: the list stays, and the button tells in the browser's own way.
    }
  };
  const soon = delayed(150, () => void renew());
  form.addEventListener("input", () => soon.call());
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    soon.cancel();
    void renew();
  });
}
