// What is always on screen, and the solving behind it: everything shown is solved here, with the equations above.
const data = JSON.parse(document.getElementById("live-data").textContent), root = document.getElementById("live"), W = data.words, GRAM = 1e-3 * GRAVITY;
const find = (name) => document.getElementById(`live-${name}`);
const RESTS_MS = 60, SPEAKS_MS = 150, GRADE_STEP = 0.5, NEAR_PIVOT = 30;
const calm = window.matchMedia("(prefers-reduced-motion: reduce)");
const say = (key, given = {}) => W[key].replace(/\{(\w+)\}/g, (_, name) => (name in given ? given[name] : ""));
const signed = (value, digits = 0) => { const text = Math.abs(value).toFixed(digits); return Number(text) === 0 ? text : (value > 0 ? "+" : "\u2212") + text; };
const grams = (force) => force / GRAM, degrees = (angle) => angle / RADIANS;
// A setup carries only the values that are not the base's.
const common = data.setups[0].numbers.values;
for (const setup of data.setups) setup.numbers.values = { ...common, ...setup.numbers.values };
const bases = data.setups.map((setup) => stand(setup.numbers)), paths = [];
const pathOf = (k) => paths[k] || (paths[k] = bases[k].failed ? null : climb(bases[k]));
const ready = [];
const state = { setup: 0, grade: data.grade_deg, moves: {}, fitted: false, reset: false, standing: bases[0], path: pathOf(0), row: null };
const other = data.setups.length > 1 ? 1 : 0, baseLabel = { base: data.setups[0].label };

const capital = (words) => words.charAt(0).toUpperCase() + words.slice(1);
function sizeWords(difference_g) {
  const size = Math.abs(difference_g);
  return size < data.measurable_g ? W.unseen : size < data.noticed_g ? W.measurable : W.noticeable;
}

function reason(row, path) {
  const at = (key) => ({ grade: degrees(path.limits[key]).toFixed(1) });
  if (row.status === "beyond_fold") return say("snaps", at("fold"));
  if (row.status === "beyond_tip_over") return say("tips", at("tip_over"));
  if (row.status === "beyond_grip") return say("slides", at("grip"));
  if (row.status === "beyond_torque") return say("stalls", at("torque"));
  return W[path.curve.objection] || W.unfollowed;
}

// Drawing --------------------------------------------------------------------
const radius_mm = 1e3 * Math.max(...ENDS.map((e) => data.setups[0].numbers.values[`${e}_tyre_radius`]));
const drawing = slopeDrawing(find("stage-drawing"), say("stage", baseLabel), "group");
const ghost = vehicleDrawing(drawing.svg, { ghost: true }), shown = vehicleDrawing(drawing.svg, {});
const arrows = ENDS.map(() => [node("path", { class: "load-arrow" }, drawing.svg), node("path", { class: "load-head" }, drawing.svg)]);
const handles = {};
let dragging = false;
/** Millimetres of the drawing to a pixel of the screen. */
let extent = [340, 190], perPixel = 1;
const measure = () => { extent = [drawing.svg.clientWidth || 340, drawing.svg.clientHeight || 190]; };

/** The window follows what is drawn: as large as it fits, with room for a finger. */
function frame(svg, all) {
  let left = Infinity, right = -Infinity, top = Infinity, bottom = -Infinity;
  for (const places of all) {
    for (const end of ENDS) { const [x, y] = places.wheels[end]; left = Math.min(left, x - radius_mm); right = Math.max(right, x + radius_mm); top = Math.min(top, y - radius_mm); bottom = Math.max(bottom, y + radius_mm); }
    for (const name in places.points) { const [x, y] = places.points[name]; left = Math.min(left, x); right = Math.max(right, x); top = Math.min(top, y); bottom = Math.max(bottom, y); }
  }
  if (!(left < right)) return 1;
  const view = [left - 14, top - 14, right - left + 28, bottom - top + 28];
  svg.setAttribute("viewBox", view.map((v) => v.toFixed(1)).join(" "));
  return Math.max(view[2] / extent[0], view[3] / extent[1]);
}

function coordinatesOf(pose) { return [0, ...pose.slice(0, 8)]; }

/** A ring that a finger, a mouse and the keys can move. */
function ringHandle(name, label, least, most) {
  const group = node("g", { class: "handle", tabindex: 0, role: "slider", "aria-label": label, "aria-valuemin": least, "aria-valuemax": most, "aria-valuenow": 0 }, drawing.svg);
  handles[name] = { group, touch: node("circle", { r: 30 }, group), ring: node("circle", { r: 9, class: "ring" }, group) };
  group.style.touchAction = "none";
  return group;
}
function putHandle(name, place) {
  const { group, touch, ring } = handles[name];
  if (!place) { group.setAttribute("visibility", "hidden"); return; }
  group.removeAttribute("visibility");
  group.setAttribute("transform", `translate(${place[0].toFixed(1)} ${place[1].toFixed(1)})`);
  touch.setAttribute("r", (23 * perPixel).toFixed(1));
  ring.setAttribute("r", (7 * perPixel).toFixed(1));
}
/** Follow a pointer from where it goes down on a target: `begin(event)` gives what `move(event, begun)` starts from, or null. */
function drags(target, begin, move) {
  let from = null;
  target.addEventListener("pointerdown", (event) => {
    from = begin(event);
    if (!from) return;
    target.setPointerCapture(event.pointerId);
    event.preventDefault();
    if (target.focus && target.tabIndex >= 0) target.focus({ preventScroll: true });
  });
  target.addEventListener("pointermove", (event) => { if (from) move(event, from); });
  const drop = () => { if (from) { from = null; dragging = false; refresh(false); later(); } };
  target.addEventListener("pointerup", drop);
  target.addEventListener("pointercancel", drop);
}

function tellStage(base) {
  const grade = state.grade * RADIANS, row = state.row, alive = row && row.state;
  find("grade").textContent = `${state.grade.toFixed(1)}\u00b0 (${(100 * Math.tan(grade)).toFixed(0)} %)`;
  find("load").textContent = alive ? `${grams(row.front_load_n).toFixed(0)} g` : "\u2013";
  let words = "";
  if (state.standing.failed) words = W[state.standing.failed];
  else if (!alive) words = state.path ? reason(row, state.path) : W.unfollowed;
  else {
    const parts = [];
    if (row.status !== "ok" && state.path) parts.push(reason(row, state.path));
    if (base && base.state) {
      const change = grams(row.front_load_n - base.front_load_n);
      parts.push(Math.abs(change) < 0.05 ? W.none : `${signed(change, Math.abs(change) < 10 ? 1 : 0)} g ${say("difference", baseLabel)}: ${sizeWords(change)}`);
    }
    words = parts.join("; ");
  }
  find("difference").textContent = words;
}

function drawStage() {
  const grade = state.grade * RADIANS, base = pathOf(0) && pathOf(0).row(grade);
  tellStage(base);
  tellTilt();
  drawing.tilt(grade);
  const seen = [];
  if (base && base.state) seen.push(ghost.update(bases[0].values, coordinatesOf(base.state), grade)); else ghost.hide();
  const { row, standing } = state, alive = row && row.state;
  let places = null;
  if (alive) places = shown.update(standing.values, coordinatesOf(row.state), grade);
  else if (!standing.failed) places = shown.update(standing.values, coordinatesOf(standing.solution.state), grade);
  else shown.hide();
  if (places) seen.push(places);
  if (!dragging) perPixel = frame(drawing.svg, seen);
  ENDS.forEach((end, i) => {
    const [shaft, head] = arrows[i], force = alive ? [row.rear_load_n, row.front_load_n][i] : 0;
    if (!(force > 0.02) || !places) { shaft.setAttribute("d", ""); head.setAttribute("d", ""); return; }
    const k = 3 + 3 * i, x = wheelX(standing.values, end, row.state[k - 1], row.state[k + 1]), size = (0.034e-3 * force) / GRAM;
    const foot = places.paper(x, 0), tail = places.paper(x, -size), long = Math.hypot(foot[0] - tail[0], foot[1] - tail[1]), dx = (foot[0] - tail[0]) / long, dy = (foot[1] - tail[1]) / long;
    shaft.setAttribute("d", path([tail, [foot[0] - 9 * dx, foot[1] - 9 * dy]]));
    head.setAttribute("d", path([foot, [foot[0] - 12 * dx - 7 * dy, foot[1] - 12 * dy + 7 * dx], [foot[0] - 12 * dx + 7 * dy, foot[1] - 12 * dy - 7 * dx]], true));
  });
  for (const name of data.link_ends) putHandle(name, places && places.points[name]);
  const [x, y] = places ? places.wheels.front : [0, 0], c = radius_mm * Math.cos(grade), s = radius_mm * Math.sin(grade);
  putHandle("slope", places && [x + 1.1 * s + 0.6 * c, y + 1.1 * c - 0.6 * s]);
}

// Solving --------------------------------------------------------------------
function moved() {
  let vehicle = data.setups[state.setup].numbers;
  for (const name in state.moves) {
    const [, end, link, side] = name.match(/^(rear|front)_(lower_link|upper_link)_(chassis|axle)$/), [dx, dz] = state.moves[name];
    if (dx || dz) vehicle = withLinkEnd(vehicle, end, link, side, 1e-3 * dx, 1e-3 * dz, { fitted: state.fitted });
  }
  return { ...vehicle, pose: state.reset && !bases[state.setup].failed ? bases[state.setup].solution.state.slice(0, 2) : null };
}

/** While something moves only the pose and its loads are solved; the whole climb follows when the hand rests. */
function solve() {
  if (bases[0].failed) { state.standing = bases[0]; return; }
  state.standing = stand(moved());
  state.path = null;
}

function quickRow() {
  if (state.standing.failed) return null;
  const pose = followed(state.standing, state.grade * RADIANS), row = pose && rowOf(state.standing, pose, state.grade * RADIANS);
  if (row && row.state) return row;
  state.path = state.path || climb(state.standing);
  return state.path.row(state.grade * RADIANS);
}

function settle() {
  root.removeAttribute("data-busy");
  if (!state.standing.failed) state.path = state.path || climb(state.standing);
  state.row = state.standing.failed ? null : state.path.row(state.grade * RADIANS);
  drawStage();
  for (const update of ready) update();
}

let waiting = false, stale = false, resting = 0;
/** Ask for a new picture with the next frame; `links` where they have moved. */
function refresh(links) {
  stale = stale || links;
  if (waiting) return;
  waiting = true;
  root.setAttribute("data-busy", "");
  window.requestAnimationFrame(() => {
    waiting = false;
    if (stale) solve();
    stale = false;
    state.row = state.path && !state.standing.failed ? state.path.row(state.grade * RADIANS) : quickRow();
    drawStage();
    window.clearTimeout(resting);
    resting = window.setTimeout(settle, RESTS_MS);
  });
}

const polite = find("spoken");
function speak() { polite.textContent = `${find("grade").textContent}, ${W.front_load} ${find("load").textContent}; ${find("difference").textContent}`; }
function later() { window.setTimeout(speak, SPEAKS_MS); }
/** What a slider says beside it and to those who cannot see it. */
function tellSlider(input, words = input.value + (input.dataset.unit || "")) {
  const told = document.getElementById(`${input.id}-told`);
  if (told) told.textContent = words;
  input.setAttribute("aria-valuetext", words);
}
for (const input of root.querySelectorAll("input[type=range]")) {
  tellSlider(input);
  input.addEventListener("input", () => tellSlider(input));
}

const chooser = find("setup");
if (chooser) chooser.addEventListener("change", () => { state.setup = Number(chooser.value); refresh(true); later(); });

// Guess ----------------------------------------------------------------------
const guess = find("guess");
if (guess) {
  const answer = find("guess-answer"), title = document.querySelector("h1"), headline = title.textContent, verdict = document.getElementById("verdict");
  const told = () => tellSlider(guess, `${signed(Number(guess.value))} g`);
  guess.addEventListener("input", told);
  told();
  // The answer is not given away before the guess; one touch shows it to whoever does not want to guess.
  const show = (seen) => {
    title.textContent = seen ? headline : say("guess_headline", { setup: data.setups[other].label });
    if (verdict) verdict.hidden = !seen;
    find("guess-veil").hidden = seen;
  };
  show(window.location.hash === "#verdict");
  for (const link of [find("guess-skip"), ...document.querySelectorAll('a[href="#verdict"]')]) link.addEventListener("click", () => show(true));
  window.addEventListener("beforeprint", () => show(true));
  find("guess-button").addEventListener("click", () => {
    show(true);
    const rows = [0, other].map((k) => (pathOf(k) ? pathOf(k).row(data.grade_deg * RADIANS) : {}));
    if (!rows.every((row) => row.state)) { answer.textContent = W.unfollowed; return; }
    const change = grams(rows[1].front_load_n - rows[0].front_load_n);
    answer.textContent = say("guess_answer", { answer: signed(change, 1), guess: signed(Number(guess.value)), word: capital(sizeWords(change)) });
    guessScale(find("guess-scale"), answer.textContent, change, Number(guess.value));
  });
}

function guessScale(place, label, change, guessed) {
  const reachG = Math.max(100, Math.abs(change), Math.abs(guessed)) * 1.1, x = (g) => 170 + (160 * g) / reachG;
  place.textContent = "";
  const svg = node("svg", { viewBox: "0 0 340 74", role: "img", "aria-label": label, class: "chart" }, place);
  for (const [name, half] of [["noticed-band", data.noticed_g], ["measured-band", data.measurable_g]]) node("rect", { class: name, x: x(-half), y: 12, width: x(half) - x(-half), height: 36 }, svg);
  node("path", { d: "M10 48H330M170 12V48", class: "here" }, svg);
  node("path", { d: `M${x(guessed)} 14V46`, stroke: "var(--soft)", "stroke-width": 4 }, svg);
  node("path", { d: `M${x(change)} 14V46`, stroke: "var(--arrow)", "stroke-width": 6 }, svg);
  node("text", { x: Math.min(300, Math.max(40, x(change))), y: 10, "text-anchor": "middle" }, svg, `${signed(change, 0)} g`);
  node("text", { x: Math.min(290, Math.max(50, x(guessed))), y: 68, "text-anchor": "middle" }, svg, `${W.guess_label} ${signed(guessed)} g`);
}

// Tilt -----------------------------------------------------------------------
const tilt = find("tilt"), steepest = Number(tilt.max), slope = ringHandle("slope", W.slope, 0, steepest);
slope.classList.add("tilts");
function tiltTo(value) { state.grade = Math.max(0, Math.min(steepest, Math.round(value / GRADE_STEP) * GRADE_STEP)); refresh(false); }
tilt.addEventListener("input", () => tiltTo(Number(tilt.value)));
tilt.addEventListener("change", later);
for (const target of [drawing.ground, slope]) {
  const angle = (event, [x, y]) => Math.atan2(y - event.clientY, event.clientX - x);
  drags(target, (event) => {
    const { x, y } = new DOMPoint(0, 0).matrixTransform(drawing.svg.getScreenCTM()), pivot = [x, y];
    return Math.hypot(event.clientX - x, event.clientY - y) < NEAR_PIVOT ? null : { pivot, angle: angle(event, pivot), grade: state.grade };
  }, (event, from) => {
    const turn = angle(event, from.pivot) - from.angle;
    tiltTo(from.grade + degrees(Math.atan2(Math.sin(turn), Math.cos(turn))));
  });
}
slope.addEventListener("keydown", (event) => {
  const by = { ArrowLeft: -GRADE_STEP, ArrowDown: -GRADE_STEP, ArrowRight: GRADE_STEP, ArrowUp: GRADE_STEP, PageUp: 5, PageDown: -5, Home: -90, End: 90 }[event.key];
  if (!by) return;
  event.preventDefault();
  tiltTo(state.grade + by);
  later();
});
const one = node("svg", { viewBox: "0 0 100 10", preserveAspectRatio: "none", "aria-hidden": "true" }, find("bars"));
const bars = [...Object.keys(data.parts), "left"].map((part) => {
  const line = document.createElement("div"), name = document.createElement("span"), number = document.createElement("output");
  line.className = name.className = part;
  name.textContent = data.parts[part] || W.tilt_left;
  line.append(name, number);
  find("bars").appendChild(line);
  return { part, number, bar: part === "standing_n" ? null : node("rect", { y: 1, height: 8, class: part }, one) };
});
const mark = node("path", { class: "zero", "vector-effect": "non-scaling-stroke" }, one);
/** One bar: what is left of the standing load, then what each part has taken; a gain is in what is left. */
function tellTilt() {
  tilt.value = state.grade;
  tellSlider(tilt, find("grade").textContent);
  set(slope, { "aria-valuenow": state.grade, "aria-valuetext": find("grade").textContent });
  const budget = state.row && state.row.state ? { ...state.row.budget, left: state.row.front_load_n } : null, taken = bars.filter(({ part }) => part !== "left");
  const whole = budget ? taken.reduce((sum, { part }) => sum + Math.max(0, budget[part]), 0) : 1;
  let from = budget ? (100 * Math.max(0, budget.left)) / whole : 0;
  for (const { part, number, bar } of bars) {
    const value = budget && budget[part];
    number.textContent = budget ? `${part === "left" ? "= " + grams(value).toFixed(0) : signed(grams(value), 0)} g` : "\u2013";
    if (part === "left") set(bar, { x: 0, width: from.toFixed(2) });
  }
  for (const { part, bar } of taken) if (bar) {
    const width = budget ? (100 * Math.max(0, -budget[part])) / whole : 0;
    set(bar, { x: from.toFixed(2), width: width.toFixed(2) });
    from += width;
  }
  mark.setAttribute("d", budget ? `M${((100 * budget.standing_n) / whole).toFixed(2)} 0V10` : "");
}
ready.push(() => {
  find("tip").textContent = state.path && state.path.limits.tip_over !== null ? say("tip_over", { grade: degrees(state.path.limits.tip_over).toFixed(2) }) : "";
});
