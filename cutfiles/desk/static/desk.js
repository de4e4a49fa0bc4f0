// What every page does: it says that it is open, and that it was closed. Everything works without it.
const name = crypto.randomUUID();
const say = what => navigator.sendBeacon(`/page/${name}/${what}`);
say("open");
setInterval(() => say("open"), 60000);
addEventListener("pagehide", () => say("closed"));
addEventListener("pageshow", event => { if (event.persisted) say("open"); });

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
