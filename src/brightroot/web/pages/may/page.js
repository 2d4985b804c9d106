/** The page of who may weld: what has to be mended comes into view, and a link to a field opens the fold it lies in. */

const mend = document.getElementById("mend");
mend?.focus();
mend?.scrollIntoView({ block: "center" });

for (const link of /** @type {NodeListOf<HTMLAnchorElement>} */ (document.querySelectorAll(".summary a"))) {
  link.addEventListener("click", (event) => {
    const field = document.getElementById(link.hash.slice(1));
    if (!field) return;
    event.preventDefault();
    for (let fold = field.closest("details"); fold; fold = fold.parentElement?.closest("details") ?? null) fold.open = true;
    field.focus();
  });
}
