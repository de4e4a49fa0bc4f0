"use strict";
/* Shows the support in space: folds it with the slider, turns it with pointer and keys.
   `scene` stands above: faces (parents before children), stages, blocks, the way to the table. */
const canvas = document.getElementById("view");
const slider = document.getElementById("fold");
const withBook = document.getElementById("book");
const stageText = document.getElementById("stage");
const HOME = { turn: -0.6, above: 0.45, zoom: 1 };
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

/* How far each stage has gone when the slider stands at `share` (0 flat, 1 standing). */
function progress(share) {
  const used = scene.stages.map((_, i) => i).filter(i => scene.faces.some(
    f => f.parent !== null && f.stage === i));
  const part = {};
  used.forEach((stage, i) => {
    part[stage] = Math.min(1, Math.max(0, share * used.length - i));
  });
  const now = used[Math.min(used.length - 1, Math.floor(share * used.length))];
  return { part, name: share <= 0 ? "flat" : share >= 1 ? "standing" : scene.stages[now] };
}

function standing(share) {
  const { part } = progress(share);
  const motions = [];
  scene.faces.forEach((face, i) => {
    motions[i] = face.parent === null ? scene.place : after(
      motions[face.parent], hinge(...face.axis, face.angle * part[face.stage]));
  });
  const sheets = scene.faces.map((face, i) => ({
    corners: face.corners.map(p => apply(motions[i], [p[0], p[1], 0])), layer: face.layer,
    kind: "film" }));
  const low = Math.min(0, ...sheets.flatMap(s => s.corners.map(c => c[2])));
  for (const sheet of sheets) sheet.corners = sheet.corners.map(c => [c[0], c[1], c[2] - low]);
  if (withBook.checked && share >= 1) {
    for (const block of scene.blocks) {
      for (const corners of block) sheets.push({ corners, layer: 0, kind: "book" });
    }
  }
  return sheets;
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

/* What the picture must hold, and the words on the table around it. */
function frame(sheets) {
  const corners = sheets.flatMap(s => s.corners);
  const low = [0, 1, 2].map(i => Math.min(...corners.map(c => c[i])));
  const high = [0, 1, 2].map(i => Math.max(...corners.map(c => c[i])));
  const centre = low.map((l, i) => (l + high[i]) / 2);
  const size = Math.hypot(...minus(high, low)), off = 0.05 * size;
  return {
    centre, reach: 1.12 * size, marks: [
      ["left", [low[0] - off, centre[1], 0]], ["right", [high[0] + off, centre[1], 0]],
      ["head", [centre[0], high[1] + off, 0]], ["tail", [centre[0], low[1] - off, 0]]],
  };
}

function draw() {
  const share = slider.value / slider.max;
  stageText.textContent = progress(share).name;
  slider.setAttribute("aria-valuetext", progress(share).name);
  const ratio = window.devicePixelRatio || 1;
  const width = canvas.clientWidth, height = canvas.clientHeight;
  canvas.width = width * ratio;
  canvas.height = height * ratio;
  const pen = canvas.getContext("2d");
  pen.scale(ratio, ratio);
  const { turn, above, zoom } = view;
  const right = [Math.cos(turn), Math.sin(turn), 0];
  const eye = [Math.sin(turn) * Math.cos(above), -Math.cos(turn) * Math.cos(above),
    Math.sin(above)];
  const up = cross(eye, right);
  const sheets = standing(share);
  const { centre, reach, marks } = frame(sheets);
  const scale = zoom * Math.min(width, height * 1.5) / reach;
  const toPage = p => {
    const way = minus(p, centre);
    return [width / 2 + dot(right, way) * scale, height / 2 - dot(up, way) * scale];
  };
  pen.fillStyle = "#444444";
  pen.font = "15px sans-serif";
  pen.textAlign = "center";
  pen.textBaseline = "middle";
  for (const [text, place] of marks) pen.fillText(text, ...toPage(place));
  for (const s of sheets) s.flat = s.corners.map(c => [dot(right, c), dot(up, c)]);
  for (const sheet of painted(sheets, eye)) {
    pen.beginPath();
    for (const corner of sheet.corners) pen.lineTo(...toPage(corner));
    pen.closePath();
    const bookFace = dot(sheet.normal, eye) > 0;
    pen.fillStyle = sheet.kind === "book" ? "rgba(244,240,230,0.94)"
      : bookFace ? "rgba(206,226,240,0.55)" : "rgba(176,200,218,0.55)";
    pen.fill();
    pen.strokeStyle = sheet.kind === "book" ? "#666666" : "#000000";
    pen.lineWidth = 1;
    pen.lineJoin = "round";
    pen.stroke();
  }
  canvas.dataset.drawn = `${sheets.length} ${slider.value} ${turn.toFixed(3)} ${above.toFixed(3)}`;
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
slider.addEventListener("input", draw);
withBook.addEventListener("change", draw);
window.addEventListener("resize", draw);
window.addEventListener("beforeprint", draw);
draw();
