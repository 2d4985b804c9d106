/** Print: another paper or language shows at once. */
const choice = /** @type {HTMLFormElement | null} */ (document.querySelector("form[data-choice]"));
choice?.addEventListener("change", () => choice.requestSubmit());
