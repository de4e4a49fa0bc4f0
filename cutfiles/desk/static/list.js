// A file dropped anywhere on the page is read; while an exhibit is made, how far it is. All works without it.
const drop = document.querySelector(".drop");
if (drop) {
  const over = on => event => { event.preventDefault(); drop.classList.toggle("over", on); };
  addEventListener("dragover", over(true));
  addEventListener("dragleave", over(false));
  addEventListener("drop", event => {
    over(false)(event);
    if (!event.dataTransfer.files.length) return;
    drop.elements.list.files = event.dataTransfer.files;
    drop.requestSubmit();
  });
}

const progress = document.getElementById("progress");
async function look() {
  try {
    const told = await (await fetch(`${location.pathname}?part=1`)).json();
    const held = progress.contains(document.activeElement);
    progress.innerHTML = told.part;
    progress.dataset.state = told.state;
    if (held) progress.querySelector("button, a")?.focus();
    if (told.state !== "running") return;
  } catch { /* the desk is busy: ask again */ }
  setTimeout(look, 700);
}
if (progress?.dataset.state === "running") setTimeout(look, 500);
