/** One procedure: what has to be mended comes into view, and what was typed survives a reload until it is kept. */

const mend = document.getElementById("mend");
mend?.focus();
mend?.scrollIntoView({ block: "center" });

/** @param {HTMLElement} field */
function unfold(field) {
  for (let fold = field.closest("details"); fold; fold = fold.parentElement?.closest("details") ?? null) fold.open = true;
}

for (const link of /** @type {NodeListOf<HTMLAnchorElement>} */ (document.querySelectorAll(".summary a"))) {
  link.addEventListener("click", (event) => {
    const field = document.getElementById(link.hash.slice(1));
    if (!field) return;
    event.preventDefault();
    unfold(field);
    field.focus();
  });
}

for (const form of /** @type {NodeListOf<HTMLFormElement>} */ (document.querySelectorAll("form[data-kept]"))) {
  const key = `brightroot.procedure.${form.dataset.kept}`;
  if (!mend) {
    for (const [name, value] of Object.entries(JSON.parse(sessionStorage.getItem(key) ?? "{}"))) {
      const field = form.elements.namedItem(name);
      if (!(field instanceof HTMLInputElement || field instanceof HTMLSelectElement) || field.value === value) continue;
      field.value = String(value);
      unfold(field);
    }
  }
  form.addEventListener("input", () => sessionStorage.setItem(key, JSON.stringify(Object.fromEntries(new FormData(form)))));
  // the server keeps and shows again what it refuses, so nothing is kept twice
  form.addEventListener("submit", () => sessionStorage.removeItem(key));
}
