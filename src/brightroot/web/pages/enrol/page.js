/** The code comes behind the #, which no server and no router ever sees; a key is made here where the browser may keep one. */
import { canKeep, makeKey } from "/static/sign.js";

const form = document.querySelector("form[data-enrol]");
if (form instanceof HTMLFormElement) {
  const code = /** @type {HTMLInputElement} */ (form.elements.namedItem("code"));
  if (location.hash.length > 1) {
    code.value = decodeURIComponent(location.hash.slice(1));
    history.replaceState(null, "", location.pathname);
  }
  void canKeep().then((can) => {
    if (!can) return;
    const note = form.querySelector("[data-own]");
    if (note instanceof HTMLElement) note.textContent = note.dataset.own ?? "";
    form.addEventListener("submit", (event) => {
      event.preventDefault();
      void makeKey().then((key) => {
        const field = document.createElement("input");
        field.type = "hidden";
        field.name = "public_key";
        field.value = key;
        form.append(field);
        form.submit();
      });
    }, { once: true });
  });
}
