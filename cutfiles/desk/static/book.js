// Live picture: what is typed goes to the desk, one request at a time, the newest next; answers change parts of the page.
const form = document.querySelector("#slip"), book = form.dataset.book, told = document.querySelector("#told");
const { base, changed } = form.elements;
let flying = null, waiting = [], later;

function show(answer) {
  base.value = answer.version;
  form.elements.undo.disabled = !answer.can.undo;
  form.elements.redo.disabled = !answer.can.redo;
  const standing = document.querySelector("#standing");
  standing.classList.toggle("old", !answer.standing);
  if (answer.standing) standing.innerHTML = answer.standing;
  document.querySelector("#verdict").innerHTML = answer.verdict;
  document.querySelector("#saved").innerHTML = answer.saved;
  for (const field of form.querySelectorAll("[data-field]")) {
    const path = field.dataset.field, said = field.querySelector(".said");
    const html = answer.fields[path] ?? "";
    if (said.innerHTML !== html) said.innerHTML = html;
    const input = field.querySelector("input, select, textarea");
    if (answer.wrong.includes(path)) input.setAttribute("aria-invalid", "true");
    else input.removeAttribute("aria-invalid");
    const closed = field.closest("details:not([open])");
    if (closed && answer.wrong.includes(path)) closed.open = true;
  }
  const more = document.querySelector("#more");
  more.classList.add("old");
  if (!answer.standing) more.replaceChildren();
  performance.mark("shown");
}

// what was typed into one field is one thing to ask, and one step to undo, however slow the answers are
async function look() {
  const body = new URLSearchParams(new FormData(form));
  if (waiting.at(-1)?.get("changed") === body.get("changed")) waiting.pop();
  waiting.push(body);
  if (flying) return;
  clearTimeout(later);
  while (waiting.length) {
    flying = ask(waiting.shift());
    await flying;
    flying = null;
  }
  later = setTimeout(more, 300);
}

async function ask(body) {
  try {
    body.set("base", base.value);
    const answer = await fetch(`/book/${book}/look`, { method: "POST", body });
    if (answer.status === 409) {
      told.textContent = (await answer.json()).told + " ";
      told.append(link("what it is now", `/book/${book}`), " ", copy());
      told.hidden = false;
    } else if (!answer.ok) {
      told.textContent = `The desk refused this: ${(new DOMParser().parseFromString(await answer.text(), "text/html")).querySelector("main, body").textContent}`;
      told.hidden = false;
    } else {
      told.hidden = true;
      show(await answer.json());
    }
  } catch {
    told.textContent = "The desk does not answer: has it ended? What you typed stays on this page; begin the desk again in its terminal.";
    told.hidden = false;
  }
}

function link(text, to) {
  const a = document.createElement("a");
  a.textContent = text; a.href = to;
  return a;
}

function copy() {
  const button = document.createElement("button");
  button.textContent = "go on from here as another book";
  button.setAttribute("form", "slip");
  button.setAttribute("formaction", "/book/copy");
  return button;
}

async function more() {
  const answer = await fetch(`/book/${book}/more`).then(got => got.ok ? got.json() : null, () => null);
  if (!answer || flying || String(answer.version) !== base.value) return;
  const place = document.querySelector("#more"), open = [...place.querySelectorAll("details[open] summary")].map(one => one.textContent);
  place.innerHTML = answer.more;
  for (const one of place.querySelectorAll("summary")) one.parentElement.open = open.includes(one.textContent);
  place.classList.remove("old");
  performance.mark("more");
}

form.addEventListener("input", event => {
  if (!/^(slip|make)\./.test(event.target.name)) return;
  changed.value = event.target.name;
  performance.mark("typed");
  look();
});

// a button waits for what is on its way, and tells that it works
form.addEventListener("submit", async event => {
  if (!flying) return;
  event.preventDefault();
  while (flying) await flying;
  form.requestSubmit(event.submitter);
});

// the field that has the focus lights its measure up in the drawing
function light(name) {
  for (const part of document.querySelectorAll("[data-fields]"))
    part.classList.toggle("lit", part.dataset.fields.split(" ").includes(name));
}
form.addEventListener("focusin", event => light(event.target.name?.replace("slip.", "")));
for (const part of document.querySelectorAll("[data-fields]"))
  part.addEventListener("click", () => {
    const name = part.dataset.fields.split(" ")[0], input = document.getElementById(`f.${name}`);
    const closed = input?.closest("details");
    if (closed) closed.open = true;
    input?.focus();
  });
