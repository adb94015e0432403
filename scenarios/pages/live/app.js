// The sections: what the reader moves, and what answers. Everything shown is solved here, with the equations above.
(function () {
  const holder = document.getElementById("live-data"), root = document.getElementById("live");
  if (!holder || !root) return;
  const data = JSON.parse(holder.textContent), W = data.words, GRAM = 9.80665e-3;
  const find = (name) => document.getElementById(`live-${name}`);
  const RESTS_MS = 60, SPEAKS_MS = 150;
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
  const state = { setup: 0, grade: data.grade_deg, moves: {}, fitted: false, reset: false, end: null, standing: bases[0], path: pathOf(0), row: null };
  const other = data.setups.length > 1 ? 1 : 0;

  const capital = (words) => words.charAt(0).toUpperCase() + words.slice(1);
  function sizeWords(difference_g) {
    const size = Math.abs(difference_g);
    return size <= data.measurable_g ? W.unseen : size <= data.noticed_g ? W.measurable : W.noticeable;
  }

  function reason(row, path) {
    const at = (key) => ({ grade: degrees(path.limits[key]).toFixed(1) });
    if (row.status === "beyond_fold") return say("snaps", at("fold"));
    if (row.status === "beyond_tip_over") return say("tips", at("tip_over"));
    if (row.status === "beyond_grip") return say("slides", at("grip"));
    if (row.status === "beyond_torque") return say("stalls", at("torque"));
    return path.curve.objection || W.unfollowed;
  }

  // Stage ----------------------------------------------------------------------
  const radius_mm = 1e3 * Math.max(...ENDS.map((e) => data.setups[0].numbers.values[`${e}_tyre_radius`]));
  const drawing = slopeDrawing(find("stage-drawing"), say("stage", { base: data.setups[0].label }), "group");
  const ghost = vehicleDrawing(drawing.svg, { ghost: true }), shown = vehicleDrawing(drawing.svg, {});
  const arrows = ENDS.map(() => [node("path", { class: "load-arrow" }, drawing.svg), node("path", { class: "load-head" }, drawing.svg)]);
  const handles = {};
  let dragging = false;
  /** Millimetres of the drawing to a pixel of the screen. */
  let size = [340, 190], unit = 1;
  const measure = () => { size = [drawing.svg.clientWidth || 340, drawing.svg.clientHeight || 190]; };

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
    return Math.max(view[2] / size[0], view[3] / size[1]);
  }

  function coordinatesOf(pose) { return [0, ...pose.slice(0, 8)]; }

  function tellStage(base) {
    const grade = state.grade * RADIANS, row = state.row, alive = row && row.state;
    find("grade").textContent = `${state.grade.toFixed(1)}\u00b0 (${(100 * Math.tan(grade)).toFixed(0)} %)`;
    find("load").textContent = alive ? `${grams(row.front_load_n).toFixed(0)} g` : "\u2013";
    let words = "";
    if (state.standing.failed) words = state.standing.failed;
    else if (!alive) words = state.path ? reason(row, state.path) : W.unfollowed;
    else {
      const parts = [];
      if (row.status !== "ok" && state.path) parts.push(reason(row, state.path));
      if (base && base.state) {
        const change = grams(row.front_load_n - base.front_load_n);
        parts.push(Math.abs(change) < 0.05 ? W.none : `${signed(change, Math.abs(change) < 10 ? 1 : 0)} g ${say("difference", { base: data.setups[0].label })}: ${sizeWords(change)}`);
      }
      words = parts.join("; ");
    }
    find("difference").textContent = words;
  }

  function drawStage() {
    const grade = state.grade * RADIANS, base = pathOf(0) && pathOf(0).row(grade);
    tellStage(base);
    drawing.tilt(grade);
    const seen = [];
    if (base && base.state) seen.push(ghost.update(bases[0].values, coordinatesOf(base.state), grade)); else ghost.hide();
    const row = state.row, alive = row && row.state;
    let places = null;
    if (alive) places = shown.update(state.standing.values, coordinatesOf(row.state), grade);
    else if (!state.standing.failed) places = shown.update(state.standing.values, coordinatesOf(state.standing.solution.state), grade);
    else shown.hide();
    if (places) seen.push(places);
    if (!dragging) unit = frame(drawing.svg, seen);
    ENDS.forEach((end, i) => {
      const [shaft, head] = arrows[i], force = alive ? [row.rear_load_n, row.front_load_n][i] : 0;
      if (!(force > 0.02) || !places) { shaft.setAttribute("d", ""); head.setAttribute("d", ""); return; }
      const k = 3 + 3 * i, x = wheelX(state.standing.values, end, row.state[k - 1], row.state[k + 1]), size = (0.034e-3 * force) / GRAM;
      const foot = places.paper(x, 0), tail = places.paper(x, -size), dx = (foot[0] - tail[0]) / Math.hypot(foot[0] - tail[0], foot[1] - tail[1]);
      const dy = (foot[1] - tail[1]) / Math.hypot(foot[0] - tail[0], foot[1] - tail[1]);
      shaft.setAttribute("d", path([tail, [foot[0] - 9 * dx, foot[1] - 9 * dy]]));
      head.setAttribute("d", path([foot, [foot[0] - 12 * dx - 7 * dy, foot[1] - 12 * dy + 7 * dx], [foot[0] - 12 * dx + 7 * dy, foot[1] - 12 * dy - 7 * dx]], true));
    });
    for (const name in handles) {
      const handle = handles[name];
      if (!places) { handle.group.setAttribute("visibility", "hidden"); continue; }
      const [x, y] = places.points[name];
      handle.group.removeAttribute("visibility");
      handle.group.setAttribute("transform", `translate(${x.toFixed(1)} ${y.toFixed(1)})`);
      handle.touch.setAttribute("r", (23 * unit).toFixed(1));
      handle.ring.setAttribute("r", (7 * unit).toFixed(1));
    }
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
  function bind(input, change, links) {
    input.addEventListener("input", () => { change(Number(input.value)); refresh(links); });
    input.addEventListener("change", () => window.setTimeout(speak, SPEAKS_MS));
  }

  // Setup shown ---------------------------------------------------------------
  const chooser = find("setup");
  if (chooser) chooser.addEventListener("change", () => { state.setup = Number(chooser.value); refresh(true); window.setTimeout(speak, SPEAKS_MS); });

  // Guess ----------------------------------------------------------------------
  const guess = find("guess");
  if (guess) {
    const told = find("guess-told"), answer = find("guess-answer");
    guess.addEventListener("input", () => { told.textContent = `${signed(Number(guess.value))} g`; guess.setAttribute("aria-valuetext", told.textContent); });
    find("guess-button").addEventListener("click", () => {
      const rows = [0, other].map((k) => (pathOf(k) ? pathOf(k).row(data.grade_deg * RADIANS) : {}));
      if (!rows.every((row) => row.state)) { answer.textContent = W.unfollowed; return; }
      const change = grams(rows[1].front_load_n - rows[0].front_load_n);
      answer.textContent = say("guess_answer", { answer: signed(change, 1), guess: signed(Number(guess.value)), word: capital(sizeWords(change)) });
      scale(change, Number(guess.value));
    });
  }

  function scale(change, guessed) {
    const place = find("guess-scale"), reachG = Math.max(100, Math.abs(change), Math.abs(guessed)) * 1.1;
    place.textContent = "";
    const svg = node("svg", { viewBox: "0 0 340 74", role: "img", "aria-label": find("guess-answer").textContent, class: "chart" }, place);
    const x = (g) => 170 + (160 * g) / reachG;
    node("rect", { class: "noticed-band", x: x(-data.noticed_g), y: 12, width: x(data.noticed_g) - x(-data.noticed_g), height: 36 }, svg);
    node("rect", { class: "measured-band", x: x(-data.measurable_g), y: 12, width: x(data.measurable_g) - x(-data.measurable_g), height: 36 }, svg);
    node("path", { d: "M10 48H330M170 12V48", class: "here" }, svg);
    node("path", { d: `M${x(guessed)} 14V46`, stroke: "var(--soft)", "stroke-width": 4 }, svg);
    node("path", { d: `M${x(change)} 14V46`, stroke: "var(--arrow)", "stroke-width": 6 }, svg);
    const near = Math.abs(x(guessed) - x(change)) < 120;
    node("text", { x: Math.min(300, Math.max(40, x(change))), y: 10, "text-anchor": "middle" }, svg, `${signed(change, 0)} g`);
    node("text", { x: Math.min(290, Math.max(50, x(guessed))), y: near ? 68 : 68, "text-anchor": "middle" }, svg, `${W.guess_label} ${signed(guessed)} g`);
  }

  // Tilt -----------------------------------------------------------------------
  const tilt = find("tilt");
  bind(tilt, (value) => { state.grade = value; }, false);
  const bars = Object.keys(data.parts).map((part) => {
    const line = document.createElement("div"), name = document.createElement("span"), number = document.createElement("output");
    name.textContent = data.parts[part];
    line.append(name, number);
    const svg = node("svg", { viewBox: "-50 0 100 10", preserveAspectRatio: "none", "aria-hidden": "true" }, line);
    node("path", { d: "M0 0V10", stroke: "var(--soft)" }, svg);
    find("bars").appendChild(line);
    return { part, number, bar: node("rect", { y: 1, height: 8, fill: "var(--arrow)" }, svg) };
  });
  ready.push(() => {
    tilt.value = state.grade;
    tilt.setAttribute("aria-valuetext", find("grade").textContent);
    for (const { part, number, bar } of bars) {
      const value = state.row && state.row.state ? state.row.budget[part] : null;
      number.textContent = value === null ? "\u2013" : `${signed(grams(value), 0)} g`;
      const width = value === null ? 0 : Math.min(50, (50 * Math.abs(value)) / state.standing.weight);
      set(bar, { x: value < 0 ? -width : 0, width });
    }
    find("tip").textContent = state.path && state.path.limits.tip_over !== null ? say("tip_over", { grade: degrees(state.path.limits.tip_over).toFixed(2) }) : "";
  });

  // Move -----------------------------------------------------------------------
  const endBox = find("move-end"), along = find("move-along"), up = find("move-up");
  const nameOf = (name) => Array.from(endBox.options).find((option) => option.value === name).textContent;
  function place(name, dx, dz) {
    const limit = (v) => Math.max(-data.reach_mm, Math.min(data.reach_mm, v));
    state.moves[name] = [limit(dx), limit(dz)];
    endBox.value = name;
    refresh(true);
  }
  for (const name of data.link_ends) {
    const group = node("g", { class: "handle", tabindex: 0, role: "slider", "aria-label": nameOf(name), "aria-valuemin": -data.reach_mm, "aria-valuemax": data.reach_mm, "aria-valuenow": 0 }, drawing.svg);
    const touch = node("circle", { r: 30 }, group), ring = node("circle", { r: 9, class: "ring" }, group);
    handles[name] = { group, touch, ring };
    let from = null;
    const spot = (event) => {
      const p = new DOMPoint(event.clientX, event.clientY).matrixTransform(drawing.svg.getScreenCTM().inverse()), c = Math.cos(state.grade * RADIANS), s = Math.sin(state.grade * RADIANS);
      return [p.x * c - p.y * s, -p.x * s - p.y * c];
    };
    group.addEventListener("pointerdown", (event) => {
      dragging = true;
      from = { spot: spot(event), move: state.moves[name] || [0, 0] };
      group.setPointerCapture(event.pointerId);
      event.preventDefault();
      group.focus({ preventScroll: true });
    });
    group.addEventListener("pointermove", (event) => {
      if (!from) return;
      const now = spot(event);
      place(name, Math.round(2 * (from.move[0] + now[0] - from.spot[0])) / 2, Math.round(2 * (from.move[1] + now[1] - from.spot[1])) / 2);
    });
    const drop = () => { if (from) { from = null; dragging = false; refresh(false); window.setTimeout(speak, SPEAKS_MS); } };
    group.addEventListener("pointerup", drop);
    group.addEventListener("pointercancel", drop);
    group.addEventListener("keydown", (event) => {
      const step = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] }[event.key];
      if (!step) return;
      event.preventDefault();
      const [dx, dz] = state.moves[name] || [0, 0];
      place(name, dx + step[0], dz + step[1]);
      window.setTimeout(speak, SPEAKS_MS);
    });
    group.style.touchAction = "none";
  }
  endBox.addEventListener("change", () => refresh(false));
  for (const [input, k] of [[along, 0], [up, 1]]) {
    input.addEventListener("input", () => {
      const now = (state.moves[endBox.value] || [0, 0]).slice(), value = Number(input.value);
      if (input.value === "" || !Number.isFinite(value)) return;
      now[k] = value;
      place(endBox.value, now[0], now[1]);
    });
    input.addEventListener("change", () => window.setTimeout(speak, SPEAKS_MS));
  }
  for (const name of ["fitted", "reset"]) find(`move-${name}`).addEventListener("change", (event) => { state[name] = event.target.checked; refresh(true); window.setTimeout(speak, SPEAKS_MS); });
  find("move-back").addEventListener("click", () => { state.moves = {}; state.setup = 0; if (chooser) chooser.value = "0"; refresh(true); window.setTimeout(speak, SPEAKS_MS); });
  const chart = bandChart(find("move-chart"), W.move_chart, data.measurable_g, data.noticed_g);
  ready.push(() => {
    const [dx, dz] = state.moves[endBox.value] || [0, 0];
    if (document.activeElement !== along) along.value = dx;
    if (document.activeElement !== up) up.value = dz;
    for (const name in handles) {
      const [hx, hz] = state.moves[name] || [0, 0];
      set(handles[name].group, { "aria-valuenow": hz, "aria-valuetext": `${W.move_along.replace(/,.*/, "")} ${signed(hx, 1)} mm, ${W.move_up.replace(/,.*/, "")} ${signed(hz, 1)} mm` });
    }
    const points = [], base = pathOf(0);
    if (base && state.path) for (let g = 0; g <= 88; g += 3) {
      const rows = [base, state.path].map((p) => p.row(g * RADIANS));
      if (!rows.every((row) => row.state)) break;
      points.push([g, grams(rows[1].front_load_n - rows[0].front_load_n)]);
    }
    chart.draw(points, state.grade);
    const anti = (standing, row) => (row && row.state ? antiSquat(standing, row) : null);
    const baseRow = base ? base.row(state.grade * RADIANS) : null, was = baseRow && anti(bases[0], baseRow), now = state.row && anti(state.standing, state.row);
    find("move-worth").textContent = was === null || now === null || !baseRow.state ? "" : say("move_worth", { was: (100 * was).toFixed(0), now: (100 * now).toFixed(0),
      grams: signed(grams(state.row.front_load_n - baseRow.front_load_n), 1), grade: state.grade.toFixed(1) });
  });

  // Push it --------------------------------------------------------------------
  if (data.most) ready.push(() => {
    const base = pathOf(0).row(data.most.grade_deg * RADIANS), row = state.path ? state.path.row(data.most.grade_deg * RADIANS) : null;
    if (!row || !row.state || !base.state) { find("push-score").textContent = W.unfollowed; return; }
    const change = grams(row.front_load_n - base.front_load_n), side = change >= 0 ? "most" : "least";
    const whole = side === "most" ? data.most.high_g - grams(base.front_load_n) : grams(base.front_load_n) - data.most.low_g;
    find("push-score").textContent = say("push_score", { grams: signed(change, 1), share: ((100 * Math.abs(change)) / Math.max(whole, 1e-9)).toFixed(0), side: W[`push_${side}`] });
  });

  // Punch ----------------------------------------------------------------------
  const punchBox = find("punch");
  let running = 0;
  function filmsIn(holder_, members) {
    holder_.textContent = "";
    return members.map(({ label, result, standing, grade }) => {
      const made = document.createElement("figure"), words = document.createElement("figcaption");
      const draw = slopeDrawing(made, label), car = vehicleDrawing(draw.svg, {});
      words.textContent = label;
      made.appendChild(words);
      holder_.appendChild(made);
      draw.tilt(grade);
      return (time) => { const now = moment(result, Math.min(time, result.run.times[result.run.times.length - 1])); frame(draw.svg, [car.update(standing.values, now.state, grade)]); };
    });
  }
  function play(frames, until, done) {
    window.cancelAnimationFrame(running);
    if (calm.matches) { frames.forEach((show) => show(0.4 * until)); if (done) done(); return; }
    const began = performance.now();
    const tick = (now) => {
      const time = ((now - began) / 1000) * 0.125;
      frames.forEach((show) => show(Math.min(time, until)));
      if (time < until) running = window.requestAnimationFrame(tick); else if (done) done();
    };
    running = window.requestAnimationFrame(tick);
  }
  function punchWords(result) {
    if (result.failed) return result.failed;
    const ms = 1e3 * result.airborne[1];
    return `${W[result.outcome]}; ${ms > 0 ? say("punch_airborne", { ms: ms.toFixed(0) }) : W.punch_loaded}`;
  }
  if (punchBox) {
    const inputs = ["throttle", "rise", "grade"].map((name) => find(`punch-${name}`));
    for (const input of inputs) {
      const told = find(`${input.id.slice(5)}-told`);
      input.addEventListener("input", () => { told.textContent = input.value + input.dataset.unit; input.setAttribute("aria-valuetext", told.textContent); });
    }
    find("punch-button").addEventListener("click", () => {
      const [throttle, rise, grade] = inputs.map((input) => Number(input.value)), asked = { throttle, rise, grade: grade * RADIANS };
      const changed = state.setup || Object.values(state.moves).some(([x, z]) => x || z);
      const members = [[bases[0], data.setups[0].label]];
      if (changed && !state.standing.failed) members.push([state.standing, W.yours]);
      else if (other) members.push([bases[other], data.setups[other].label]);
      const results = members.map(([standing, label]) => ({ label, standing, grade: asked.grade, result: standing.failed ? standing : punch(standing, asked) }));
      find("punch-answer").textContent = results.map(({ label, result }) => `${label}: ${punchWords(result)}`).join(". ") + ".";
      const good = results.filter(({ result }) => !result.failed);
      find("punch-films").textContent = "";
      if (good.length) play(filmsIn(find("punch-films"), good), 1);
    });
  }

  // Which wheel goes first --------------------------------------------------------
  const wheelsAnswer = find("wheels-answer");
  if (wheelsAnswer) {
    const inputs = ["grade", "ratio", "rear", "front"].map((name) => find(`wheels-${name}`)), off = find("wheels-off");
    const [gradeInput, ratioInput, rearInput, frontInput] = inputs, built = ratioInput ? Number(ratioInput.value) : null;
    const own = data.setups[0].wheels, rival = other ? data.setups[other].wheels : null;
    const bare = firstLift(withSpace(own, { shafts: false })).lift, plain = firstLift(own), theirs = rival ? firstLift(rival).lift : null;
    const draw = fromBehind(find("wheels-drawing"), W);
    let path = plain, soon = 0;
    const deg = (angle) => (angle / RADIANS).toFixed(1);
    const say0 = () => {
      const parts = [path.lift === null ? say("wheels_none", { why: path.ended }) : path.both ? say("wheels_both", { axle: W[path.both], grade: deg(path.lift) }) : say("wheels_lift", { wheel: W[path.wheel], grade: deg(path.lift) })];
      if (bare !== null && !(off && off.checked)) parts.push(say("wheels_shafts", { grade: deg(bare) }));
      if (theirs !== null && plain.lift !== null) {
        parts.push(say("wheels_links", { setup: data.setups[other].label, grade: deg(theirs), change: signed((theirs - plain.lift) / RADIANS, 1) }));
      }
      return parts;
    };
    const showWheels = () => {
      const grade = Number(gradeInput.value) * RADIANS, parts = say0();
      let row = null;
      if (path.lift === null || grade <= path.lift) {
        const before = path.rows.filter((r) => r.grade <= grade + 1e-12).pop();
        row = before && wheelsAt(path.vehicle, before, grade);
      }
      if (row) parts.push(say("wheels_twist", { grade: gradeInput.value, twist: (Math.abs(grams(row.loads[2] - row.loads[3])) / 2).toFixed(0) }));
      else parts.push(W.wheels_past);
      wheelsAnswer.textContent = parts.join(" ");
      draw(row, data.setups[0].numbers.wheelbase);
    };
    const solveWheels = () => {
      const ratio = ratioInput && Number(ratioInput.value) !== built ? Number(ratioInput.value) : null;
      path = firstLift(withSpace(own, { shafts: !(off && off.checked), ratio, rearSprings: Number(rearInput.value), frontSprings: Number(frontInput.value) }));
      showWheels();
    };
    const later = (work, wait) => { window.clearTimeout(soon); soon = window.setTimeout(work, wait); };
    for (const input of inputs) if (input) {
      const told = find(`${input.id.slice(5)}-told`);
      input.addEventListener("input", () => {
        told.textContent = input.value + input.dataset.unit;
        input.setAttribute("aria-valuetext", told.textContent);
        later(input === gradeInput ? showWheels : solveWheels, input === gradeInput ? 0 : RESTS_MS);
      });
    }
    if (off) off.addEventListener("change", () => later(solveWheels, 0));
    showWheels();
  }

  // Could you tell? --------------------------------------------------------------
  const blind = find("blind-start");
  if (blind) {
    const trial = { done: 0, right: 0, order: null, frames: null };
    const buttons = [find("blind-first"), find("blind-second")];
    const results = [0, other].map((k) => (bases[k].failed ? bases[k] : null));
    const next = () => {
      trial.order = Math.random() < 0.5 ? [0, other] : [other, 0];
      const members = trial.order.map((k, i) => ({ label: String(i + 1), standing: bases[k], grade: data.punch_grade_deg * RADIANS, result: results[k ? 1 : 0] }));
      play(filmsIn(find("blind-films"), members), 1);
    };
    blind.addEventListener("click", () => {
      [0, other].forEach((k, i) => { results[i] = results[i] || punch(bases[k], { grade: data.punch_grade_deg * RADIANS, throttle: data.throttle, rise: data.rise_s }); });
      const failed = results.find((result) => result.failed);
      if (failed) { find("blind-answer").textContent = failed.failed; return; }
      trial.done = trial.right = 0;
      buttons.forEach((button) => { button.disabled = false; });
      find("blind-answer").textContent = "";
      next();
    });
    buttons.forEach((button, i) => button.addEventListener("click", () => {
      if (trial.order === null || trial.done >= 10) return;
      trial.done += 1;
      trial.right += trial.order[i] === other ? 1 : 0;
      const [low, high] = exactInterval(trial.right, trial.done);
      find("blind-answer").textContent = say("blind_score", { right: trial.right, done: trial.done, low: (100 * low).toFixed(0), high: (100 * high).toFixed(0) });
      if (trial.done < 10) next(); else buttons.forEach((b) => { b.disabled = true; });
    }));
  }

  // Your own ---------------------------------------------------------------------
  const own = ["wheelbase", "rear", "front", "height"].map((name) => find(`own-${name}`));
  const kept = new URLSearchParams(window.location.hash.slice(1));
  own.forEach((input) => { const value = kept.get(input.name); if (value !== null && Number(value) > 0) input.value = String(Number(value)); });
  const linked = find("own-linked");
  linked.checked = kept.get("links") === "1";
  for (const name of data.link_ends) {
    const [dx, dz] = (kept.get(name) || "").split(",").map(Number);
    if (Number.isFinite(dx) && Number.isFinite(dz)) { state.moves[name] = [dx, dz]; refresh(true); }
  }
  function ownAnswer() {
    const [l, r, f, h] = own.map((input) => Number(input.value)), answer = find("own-answer"), save = find("own-save");
    const good = [l, r, f, h].every((v) => Number.isFinite(v) && v > 0);
    save.hidden = !good;
    if (!good) { answer.textContent = W.own_bad; find("own-check").textContent = ""; return; }
    const found = rigidTip(l, r, f, h), at = Math.min(45, Math.floor((found.tip - 3) / 5) * 5);
    answer.textContent = say("own_answer", { tip: found.tip.toFixed(1), error: found.error.toFixed(1) });
    const reading = ((r + f) * (found.distance * Math.cos(at * RADIANS) - h * Math.sin(at * RADIANS))) / l;
    find("own-check").textContent = at > 0 ? say("own_check", { grade: at, grams: reading.toFixed(0) }) : "";
    const vehicle = linked.checked ? ownVehicle(moved(), l, r, f, h) : null;
    find("own-links").textContent = linked.checked ? ownOnLinks(vehicle, found.tip) : "";
    save.href = "data:application/toml;charset=utf-8," + encodeURIComponent(ownFile(l, r, f, h, vehicle));
  }
  function ownOnLinks(vehicle, rigid) {
    const standing = vehicle ? stand(vehicle) : { failed: W.own_light };
    if (standing.failed) return standing.failed;
    const path = climb(standing), at = path.row(data.grade_deg * RADIANS), tip = path.limits.tip_over;
    if (tip === null || !at.state) return at.state ? W.unfollowed : reason(at, path);
    return say("own_links", { grams: grams(at.front_load_n).toFixed(0), grade: data.grade_deg, tip: degrees(tip).toFixed(2), change: signed(degrees(tip) - rigid, 1) });
  }
  function keepOwn() {
    const query = new URLSearchParams(own.map((field) => [field.name, field.value]));
    if (linked.checked) { query.set("links", "1"); for (const name in state.moves) if (state.moves[name].some(Boolean)) query.set(name, state.moves[name].join(",")); }
    try { window.history.replaceState(null, "", "#" + query); } catch (refused) { window.location.hash = query; }
  }
  linked.addEventListener("change", () => { keepOwn(); ownAnswer(); });
  ready.push(() => { if (linked.checked) { keepOwn(); ownAnswer(); } });
  own.forEach((input) => input.addEventListener("input", () => { keepOwn(); ownAnswer(); }));
  ownAnswer();

  // Why --------------------------------------------------------------------------
  const why = find("why-moments"), sketch = momentSketch(find("why-sketch"), W.why_sketch);
  ready.push(() => {
    const row = state.row, rows = [];
    find("why-sketch").hidden = !(row && row.state);
    if (row && row.state) {
      const [b, h, l] = centreOfGravity(state.standing.values, row.state), w = state.standing.weight, g = state.grade * RADIANS;
      sketch(b, h, l, g, w, row.front_load_n);
      const terms = [["why_weight", w * Math.cos(g) * b], ["why_slope", -w * Math.sin(g) * h], ["why_load", -row.front_load_n * l]];
      const couples = row.budget.contact_offset_n * l;
      if (couples) terms.splice(2, 0, ["why_contact", couples]);
      for (const [key, value] of terms) rows.push([W[key], `${signed(1e3 * value, 1)} N mm`]);
      rows.push([W.why_sum, `${(1e3 * terms.reduce((sum, [, value]) => sum + value, 0)).toFixed(6).replace("-0.000000", "0.000000")} N mm`]);
    }
    why.textContent = "";
    for (const [words, value] of rows) {
      const line = document.createElement("tr"), head = document.createElement("th"), cell = document.createElement("td");
      head.scope = "row";
      head.textContent = words;
      cell.textContent = value;
      line.append(head, cell);
      why.appendChild(line);
    }
  });
  function showReadings() {
    const missed = data.measured.filter(([, read, error, predicted]) => Math.abs(read - predicted) > 2 * error).length, count = data.measured.length;
    find("why-measured").textContent = count ? say("why_measured", { inside: count - missed, count, missed }) : W.why_unmeasured;
    const curve = data.measured_curve;
    if (count && curve.length > 1) readingsChart(find("why-chart"), W.why_chart, curve, data.measured);
  }
  function compareSaved() {
    let worstG = 0;
    for (const [k, grade, force] of data.saved) { const row = pathOf(k) && pathOf(k).row(grade * RADIANS); worstG = Math.max(worstG, row && row.state ? Math.abs(grams(row.front_load_n - force)) : Infinity); }
    find("why-saved").textContent = say("why_saved", { count: data.saved.length, worst: worstG.toFixed(2) });
  }

  root.classList.add("awake");
  measure();
  window.addEventListener("resize", () => { measure(); refresh(false); });
  settle();
  // What is slow at its first use is used once before anybody asks.
  window.setTimeout(() => { showReadings(); compareSaved(); if (punchBox && !bases[0].failed) punch(bases[0], { grade: data.punch_grade_deg * RADIANS, duration: 0.3 }); }, 200);
})();
