/** The rules: the form in which something has to be mended comes into view, and the keyboard goes to its first field. */

const wrong = document.querySelector(".rule details[open] .error");
wrong?.scrollIntoView({ block: "center" });
wrong?.closest("form")?.querySelector("input:not([type=hidden])")?.focus();
if (!wrong) document.getElementById("mend")?.focus();
