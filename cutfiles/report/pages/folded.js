"use strict";
/* Shows the support in space: folds it with the slider, turns it with pointer and keys.
   `scene` stands above: faces (rows, parents before children), verbs of the steps, blocks, the way
   to the table; places are x and y by turns. The slider stands at as many steps as are done. */
const canvas = document.getElementById("view");
const slider = document.getElementById("fold");
const withBook = document.getElementById("book");
const stageText = document.getElementById("stage");
const items = [...document.querySelectorAll(".steps li")];
const pairs = row => row.flatMap((x, i) => i % 2 ? [] : [[x, row[i + 1]]]);
const faces = scene.faces.map(([corners, parent, axis = [], angle, step, letter, wrong]) => ({
  corners: pairs(corners), parent, axis: pairs(axis), angle, step, letter, wrong: !!wrong }));
const LAST = scene.verbs.length;
const HOME = { turn: scene.view[0], above: scene.view[1], zoom: 1 };
const LIGHT = { ink: "#000", soft: "#444", page: "#fff", film: "206,226,240", back: "176,200,218",
  book: "244,240,230", wrong: "#b00020" };
const DARK = { ink: "#f2f2f2", soft: "#bbb", page: "#16181a", film: "92,122,145", back: "58,80,98",
  book: "120,114,100", wrong: "#ff8a80" };
const dark = matchMedia("(prefers-color-scheme: dark)");
let printing = false;
let view = { ...HOME };

const dot = (a, b) => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
const minus = (a, b) => [a[0] - b[0], a[1] - b[1], a[2] - b[2]];
const cross = (a, b) => [
  a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]];

/* A motion is three rows of a rotation and a shift. */
const apply = (m, p) => [dot(m[0], p) + m[3][0], dot(m[1], p) + m[3][1], dot(m[2], p) + m[3][2]];
function after(second, first) {
  const column = i => [first[0][i], first[1][i], first[2][i]];
  const columns = [0, 1, 2].map(i => [0, 1, 2].map(r => dot(second[r], column(i))));
  const rows = [0, 1, 2].map(r => columns.map(c => c[r]));
  return [...rows, apply(second, first[3])];
}
/* What lies on the right of the line from a to b, folded; valley positive. */
function hinge(a, b, angle) {
  const size = Math.hypot(b[0] - a[0], b[1] - a[1]);
  const x = (b[0] - a[0]) / size, y = (b[1] - a[1]) / size;
  const cos = Math.cos(angle), sin = -Math.sin(angle), k = 1 - cos;
  const rows = [
    [cos + x * x * k, x * y * k, y * sin], [x * y * k, cos + y * y * k, -x * sin],
    [-y * sin, x * sin, cos]];
  const pivot = [a[0], a[1], 0];
  return [...rows, minus(pivot, apply([...rows, [0, 0, 0]], pivot))];
}

/* What is done when so many steps are: how far each has gone, and what the last one is called. */
function progress(done) {
  const now = Math.min(LAST - 1, Math.max(0, Math.ceil(done - 1e-9) - 1));
  const name = done <= 0 ? "flat" : done >= LAST ? "standing" : `${now + 1} ${scene.verbs[now]}`;
  return { part: step => Math.min(1, Math.max(0, done - step)), name, now };
}

/* By how much the whole piece is turned over, about its length. */
function turnedBy(part) {
  const over = scene.verbs.indexOf("Turn over"), back = scene.verbs.indexOf("Turn back");
  if (over < 0 || back < 0) return 0;
  return Math.PI * (part(over) - part(back));
}

/* The ends of a part of the book, and what lies between them from tail to head. */
function sidesOfBlock({ end, tail, head }) {
  const places = pairs(end);
  const near = places.map(([x, z]) => [x, tail, z]), far = places.map(([x, z]) => [x, head, z]);
  const around = places.map((_, i) => {
    const j = (i || places.length) - 1;
    return [near[i], near[j], far[j], far[i]];
  });
  return [near, [...far].reverse(), ...around];
}

function standing(done) {
  const { part } = progress(done);
  const motions = [];
  faces.forEach((face, i) => {
    motions[i] = face.parent === undefined ? scene.place : after(
      motions[face.parent], hinge(...face.axis, face.angle * part(face.step)));
  });
  const turn = turnedBy(part), cos = Math.cos(turn), sin = Math.sin(turn);
  const over = p => [p[0], p[1] * cos - p[2] * sin, p[1] * sin + p[2] * cos];
  const at = (i, p) => over(apply(motions[i], [p[0], p[1], 0]));
  const sheets = faces.map((face, i) => ({
    corners: face.corners.map(p => at(i, p)), kind: "film" }));
  const creases = faces.flatMap((face, i) => !face.letter ? [] : [{
    ends: face.axis.map(p => at(i, p)), letter: face.letter, wrong: face.wrong,
    kind: face.angle > 0 ? "valley" : "mountain" }]);
  for (const { ends, face, letter } of scene.missing) {
    creases.push({ ends: pairs(ends).map(p => at(face, p)), letter, wrong: true, kind: "missing" });
  }
  const low = Math.min(0, ...sheets.flatMap(s => s.corners.map(c => c[2])));
  const lift = c => [c[0], c[1], c[2] - low];
  for (const sheet of sheets) sheet.corners = sheet.corners.map(lift);
  for (const crease of creases) crease.ends = crease.ends.map(lift);
  const book = !withBook.checked ? [] : scene.blocks.flatMap(
    block => sidesOfBlock(block).map(corners => corners.map(lift)));
  if (done >= LAST) for (const corners of book) sheets.push({ corners, kind: "book" });
  const shown = done >= LAST || turn !== 0 ? [] : book;
  return { sheets, creases, outline: shown, over: turn > Math.PI / 2 };
}

/* Newell's order: of two that overlap in the view, the one on the eye's side of a plane is later. */
function normalOf(corners) {
  const sum = [0, 0, 0];
  corners.forEach((a, i) => {
    const b = corners[(i + 1) % corners.length];
    sum[0] += (a[1] - b[1]) * (a[2] + b[2]);
    sum[1] += (a[2] - b[2]) * (a[0] + b[0]);
    sum[2] += (a[0] - b[0]) * (a[1] + b[1]);
  });
  return sum;
}
function sidesOf(one, other, eye) {
  const facing = dot(one.normal, eye), size = Math.hypot(...one.normal);
  if (Math.abs(facing) < 1e-9 * size) return 0;
  const sides = other.corners.map(
    c => Math.sign(facing) * dot(one.normal, minus(c, one.corners[0])) / size);
  if (Math.max(...sides) <= 0.02 && Math.min(...sides) < -0.02) return -1;
  if (Math.min(...sides) >= -0.02 && Math.max(...sides) > 0.02) return 1;
  return 0;
}
function apart(one, other) {
  return one.flat.some((a, i) => {
    const b = one.flat[(i + 1) % one.flat.length];
    const dx = b[0] - a[0], dy = b[1] - a[1], slack = 0.02 * (Math.abs(dx) + Math.abs(dy));
    const across = p => dx * (p[1] - a[1]) - dy * (p[0] - a[0]);
    const own = one.flat.map(across), its = other.flat.map(across);
    return Math.max(...own) <= Math.min(...its) + slack ||
      Math.max(...its) <= Math.min(...own) + slack;
  });
}
function painted(sheets, eye) {
  for (const s of sheets) {
    s.normal = normalOf(s.corners);
    s.depth = s.corners.reduce((sum, c) => sum + dot(eye, c), 0) / s.corners.length;
    s.behind = new Set();
  }
  sheets.forEach((a, i) => {
    for (const b of sheets.slice(0, i)) {
      if (apart(a, b) || apart(b, a)) continue;
      const side = sidesOf(a, b, eye) || -sidesOf(b, a, eye);
      if (side > 0) b.behind.add(a);
      if (side < 0) a.behind.add(b);
    }
  });
  const left = [...sheets].sort((a, b) => a.depth - b.depth), done = new Set();
  while (left.length) {
    const next = left.findIndex(s => [...s.behind].every(o => done.has(o)));
    done.add(left.splice(Math.max(next, 0), 1)[0]);
  }
  return [...done];
}

/* The words on the table around what is drawn. */
function marksOf(corners, over) {
  const low = [0, 1, 2].map(i => Math.min(...corners.map(c => c[i])));
  const high = [0, 1, 2].map(i => Math.max(...corners.map(c => c[i])));
  const centre = low.map((l, i) => (l + high[i]) / 2);
  const off = 0.05 * Math.hypot(...minus(high, low));
  return { marks: [
    ["left", [low[0] - off, centre[1], 0]], ["right", [high[0] + off, centre[1], 0]],
    [over ? "tail" : "head", [centre[0], high[1] + off, 0]],
    [over ? "head" : "tail", [centre[0], low[1] - off, 0]]] };
}

/* From space to the page: everything fits, with room for words, at every fold and on any screen. */
function fitting(places, width, height) {
  const xs = places.map(p => p[0]), ys = places.map(p => p[1]);
  const wide = Math.max(...xs) - Math.min(...xs), tall = Math.max(...ys) - Math.min(...ys);
  const scale = view.zoom * Math.min((width - 64) / wide, (height - 44) / tall);
  const middle = [(Math.max(...xs) + Math.min(...xs)) / 2, (Math.max(...ys) + Math.min(...ys)) / 2];
  return p => [width / 2 + (p[0] - middle[0]) * scale, height / 2 - (p[1] - middle[1]) * scale];
}

function path(pen, points, closed) {
  pen.beginPath();
  for (const point of points) pen.lineTo(...point);
  if (closed) pen.closePath();
}

function draw() {
  const done = Number(slider.value), { name, now } = progress(done);
  const look = dark.matches && !printing ? DARK : LIGHT;
  stageText.textContent = name;
  slider.setAttribute("aria-valuetext", name);
  items.forEach((item, i) => {
    if (done > 0 && i === now) item.setAttribute("aria-current", "step");
    else item.removeAttribute("aria-current");
  });
  const ratio = window.devicePixelRatio || 1;
  const width = canvas.clientWidth, height = canvas.clientHeight;
  canvas.width = width * ratio;
  canvas.height = height * ratio;
  const pen = canvas.getContext("2d");
  pen.scale(ratio, ratio);
  const { turn, above } = view;
  const right = [Math.cos(turn), Math.sin(turn), 0];
  const eye = [Math.sin(turn) * Math.cos(above), -Math.cos(turn) * Math.cos(above),
    Math.sin(above)];
  const up = cross(eye, right);
  const flat = p => [dot(right, p), dot(up, p)];
  const { sheets, creases, outline, over } = standing(done);
  const corners = [...sheets.flatMap(s => s.corners), ...outline.flat()];
  const { marks } = marksOf(corners, over);
  const toView = fitting([...corners, ...marks.map(m => m[1])].map(flat), width, height);
  const toPage = p => toView(flat(p));
  const drawn = [...corners.map(toPage), ...marks.map(m => toPage(m[1]))];
  pen.font = "15px sans-serif";
  pen.textAlign = "center";
  pen.textBaseline = "middle";
  pen.lineJoin = "round";
  pen.fillStyle = look.soft;
  for (const [text, place] of marks) pen.fillText(text, ...toPage(place));
  pen.strokeStyle = look.soft;
  pen.lineWidth = 0.6;
  pen.setLineDash([3, 3]);
  for (const ring of outline) { path(pen, ring.map(toPage), true); pen.stroke(); }
  pen.setLineDash([]);
  for (const s of sheets) s.flat = s.corners.map(flat);
  for (const sheet of painted(sheets, eye)) {
    path(pen, sheet.corners.map(toPage), true);
    const bookFace = dot(sheet.normal, eye) > 0;
    pen.fillStyle = sheet.kind === "book" ? `rgba(${look.book},0.94)`
      : `rgba(${bookFace ? look.film : look.back},0.55)`;
    pen.fill();
    pen.strokeStyle = sheet.kind === "book" ? look.soft : look.ink;
    pen.lineWidth = 1;
    pen.stroke();
  }
  if (done < LAST || creases.some(c => c.wrong)) lettered(pen, creases, toPage, look);
  const inside = drawn.every(p => p[0] >= 0 && p[0] <= width && p[1] >= 0 && p[1] <= height);
  canvas.dataset.wrong = creases.filter(c => c.wrong).map(c => c.letter).join(" ");
  canvas.dataset.inside = inside;
  canvas.dataset.drawn = `${sheets.length} ${slider.value} ${turn.toFixed(3)} ${above.toFixed(3)}`;
}

/* Creases by letter: valley dashed, mountain dash and two dots, a faulty one marked. */
function lettered(pen, creases, toPage, look) {
  pen.font = "bold 13px sans-serif";
  for (const crease of creases) {
    const ends = crease.ends.map(toPage).sort((a, b) => b[1] - a[1]);
    pen.strokeStyle = crease.wrong ? look.wrong : look.ink;
    pen.lineWidth = crease.wrong ? 4 : 1.5;
    pen.setLineDash(crease.kind === "valley" ? [7, 4] : [9, 3, 2, 3, 2, 3]);
    path(pen, ends, false);
    pen.stroke();
    pen.setLineDash([]);
    pen.beginPath();
    pen.arc(...ends[0], 9, 0, 2 * Math.PI);
    pen.fillStyle = look.page;
    pen.fill();
    pen.lineWidth = 1;
    pen.stroke();
    pen.fillStyle = crease.wrong ? look.wrong : look.ink;
    pen.fillText(crease.letter + (crease.wrong ? "\u2717" : ""), ...ends[0]);
  }
}

function turnBy(turn, above) {
  view.turn += turn;
  view.above = Math.min(1.5, Math.max(-1.5, view.above + above));
  draw();
}
function zoomBy(factor) {
  view.zoom = Math.min(8, Math.max(0.3, view.zoom * factor));
  draw();
}

const pointers = new Map();
canvas.addEventListener("pointerdown", e => {
  pointers.set(e.pointerId, [e.clientX, e.clientY]);
  canvas.setPointerCapture(e.pointerId);
});
canvas.addEventListener("pointermove", e => {
  const old = pointers.get(e.pointerId);
  if (!old) return;
  const place = [e.clientX, e.clientY];
  if (pointers.size === 1) {
    turnBy((old[0] - place[0]) / 150, (place[1] - old[1]) / 150);
  } else {
    const other = [...pointers].find(([id]) => id !== e.pointerId)[1];
    const far = p => Math.hypot(p[0] - other[0], p[1] - other[1]);
    if (far(old) > 0) zoomBy(far(place) / far(old));
  }
  pointers.set(e.pointerId, place);
});
for (const end of ["pointerup", "pointercancel"]) {
  canvas.addEventListener(end, e => pointers.delete(e.pointerId));
}
canvas.addEventListener("wheel", e => {
  if (!e.ctrlKey) return; // the page scrolls
  e.preventDefault();
  zoomBy(Math.exp(-e.deltaY / 500));
}, { passive: false });
canvas.addEventListener("keydown", e => {
  const step = 0.1;
  const keys = {
    ArrowLeft: () => turnBy(step, 0), ArrowRight: () => turnBy(-step, 0),
    ArrowUp: () => turnBy(0, step), ArrowDown: () => turnBy(0, -step),
    "+": () => zoomBy(1.15), "=": () => zoomBy(1.15), "-": () => zoomBy(1 / 1.15),
    Home: () => { view = { ...HOME }; draw(); },
  };
  if (keys[e.key]) { keys[e.key](); e.preventDefault(); }
});
function go(step) {
  slider.value = Math.min(LAST, Math.max(0, step));
  draw();
}
slider.addEventListener("keydown", e => {
  const at = Number(slider.value);
  const keys = {
    ArrowRight: Math.floor(at + 1.001), ArrowUp: Math.floor(at + 1.001),
    PageUp: Math.floor(at + 1.001), ArrowLeft: Math.ceil(at - 1.001),
    ArrowDown: Math.ceil(at - 1.001), PageDown: Math.ceil(at - 1.001), Home: 0, End: LAST,
  };
  if (e.key in keys) { go(keys[e.key]); e.preventDefault(); }
});
items.forEach((item, i) => item.addEventListener("click", () => go(i + 1)));
slider.addEventListener("input", draw);
withBook.addEventListener("change", draw);
window.addEventListener("resize", draw);
dark.addEventListener("change", draw);
window.addEventListener("beforeprint", () => { printing = true; draw(); });
window.addEventListener("afterprint", () => { printing = false; draw(); });
draw();
