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

// What was typed and not sent yet is there again after a reload, or on the way back: of this version alone.
for (const [number, form] of document.querySelectorAll("form.answers").entries()) {
  const kept = `${location.pathname} ${form.elements.base.value} ${number}`;
  const typed = JSON.parse(sessionStorage.getItem(kept) ?? "{}");
  const fields = [...form.elements].filter(one => one.name && one.type !== "hidden");
  const key = one => one.type === "checkbox" ? `${one.name} ${one.value}` : one.name;
  const now = one => one.type === "checkbox" ? one.checked : one.value;
  for (const one of fields.filter(one => key(one) in typed)) {
    if (one.type === "checkbox") one.checked = typed[key(one)];
    else one.value = typed[key(one)];
    one.closest("details")?.setAttribute("open", "");
  }
  form.addEventListener("input", event => {
    typed[key(event.target)] = now(event.target);
    sessionStorage.setItem(kept, JSON.stringify(typed));
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
