// The form that chooses a language leads back to where the page is by now, which is
// not where it was made.

export function stayHere(): void {
  document.addEventListener("submit", (event) => {
    const form = event.target;
    if (!(form instanceof HTMLFormElement) || !form.classList.contains("languages")) return;
    const to = form.elements.namedItem("to");
    if (to instanceof HTMLInputElement) to.value = location.pathname + location.search;
  });
}
