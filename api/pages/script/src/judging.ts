// Ranking by thumb: the glasses are tapped in order. The radio buttons of the page
// stay what is sent.

import { orderOf, tapped } from "./order.js";
import { fill } from "./texts.js";

const form = document.querySelector<HTMLFormElement>("form[data-tap]");
if (form) taps(form);

function taps(form: HTMLFormElement): void {
  const glasses = [...form.querySelectorAll<HTMLElement>(".glasses-judged > li")].map((line) => {
    const choices = [...line.querySelectorAll<HTMLInputElement>("input[type=radio]")];
    const rank = document.createElement("span");
    rank.className = "rank";
    const button = document.createElement("button");
    button.type = "button";
    button.append(line.querySelector("legend")?.textContent ?? "", rank);
    const fieldset = line.querySelector("fieldset");
    if (fieldset) fieldset.hidden = true;
    const holder = document.createElement("div");
    holder.className = "tapped";
    holder.append(button);
    line.prepend(holder);
    return { code: choices[0]?.name ?? "", choices, button, rank };
  });
  const chosen = (choices: HTMLInputElement[]) => Number(choices.find((choice) => choice.checked)?.value ?? 0);
  let order = orderOf(new Map(glasses.map(({ code, choices }) => [code, chosen(choices)])));

  const again = document.createElement("button");
  again.type = "button";
  again.className = "plain";
  again.textContent = form.dataset.again ?? "";

  const show = () => {
    for (const { code, choices, button, rank } of glasses) {
      const place = order.indexOf(code) + 1;
      for (const choice of choices) choice.checked = Number(choice.value) === place;
      button.setAttribute("aria-pressed", String(place > 0));
      rank.textContent = place > 0 ? fill(form.dataset.ranked ?? "", () => String(place)) : "";
    }
    again.hidden = order.length === 0;
  };
  for (const { code, button } of glasses) {
    button.addEventListener("click", () => {
      order = tapped(order, code);
      show();
    });
  }
  again.addEventListener("click", () => {
    order = [];
    show();
    glasses[0]?.button.focus();
  });

  const how = document.createElement("p");
  how.textContent = form.dataset.tap ?? "";
  form.prepend(how);
  form.querySelector(".glasses-judged")?.after(again);
  show();
}
