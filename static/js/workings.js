// A working that is put away on the page still belongs on the paper.
const opened = new Set();

addEventListener("beforeprint", () => {
  for (const one of document.querySelectorAll(".workings details:not([open])")) {
    one.open = true;
    opened.add(one);
  }
});

addEventListener("afterprint", () => {
  for (const one of opened) one.open = false;
  opened.clear();
});

// Some browsers do not open what a link leads into.
const reveal = () => {
  const details = location.hash && document.getElementById(location.hash.slice(1))?.closest(".workings details");
  if (details) details.open = true;
};
addEventListener("hashchange", reveal);
reveal();
