/** The rules: what has to be mended comes into view. */

const mend = document.getElementById("mend");
mend?.focus();
mend?.scrollIntoView({ block: "center" });
