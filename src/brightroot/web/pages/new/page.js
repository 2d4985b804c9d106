/** The form of a new joint: what is wrong comes into view, and what was typed survives a reload until it is planned. */

const form = /** @type {HTMLFormElement} */ (document.querySelector("form.declare"));
const KEPT = "brightroot.declare";
const mend = document.getElementById("mend");

if (mend) {
  mend.focus();
} else if (!new URLSearchParams(location.search).has("like")) {
  const kept = JSON.parse(sessionStorage.getItem(KEPT) ?? "{}");
  for (const [name, value] of Object.entries(kept)) {
    const field = form.elements.namedItem(name);
    if (field instanceof HTMLInputElement || field instanceof HTMLSelectElement) {
      field.value = String(value);
      if (value && value !== field.dataset.start) field.closest("details")?.setAttribute("open", "");
    }
  }
}
form.addEventListener("input", () => {
  const typed = [...new FormData(form)].filter(([, value]) => value);
  const changed = typed.filter(([name]) => !(form.elements.namedItem(name) instanceof HTMLSelectElement));
  const chosen = typed.filter(([name]) => {
    const field = form.elements.namedItem(name);
    return field instanceof HTMLSelectElement && !field.selectedOptions[0]?.defaultSelected;
  });
  sessionStorage.setItem(KEPT, JSON.stringify(Object.fromEntries([...changed, ...chosen])));
});
// the server keeps and shows again what it refuses, so nothing is kept twice
form.addEventListener("submit", () => sessionStorage.removeItem(KEPT));

// a link to a field inside a fold opens the fold
for (const link of /** @type {NodeListOf<HTMLAnchorElement>} */ (document.querySelectorAll(".summary a"))) {
  link.addEventListener("click", (event) => {
    event.preventDefault();
    const field = document.getElementById(link.hash.slice(1));
    field?.closest("details")?.setAttribute("open", "");
    field?.focus();
  });
}
