"use strict";
(function () {
  const holder = document.getElementById("motion");
  const root = document.getElementById("player");
  if (!holder || !root) return;
  const data = JSON.parse(holder.textContent);
  const at = {};
  data.columns.forEach((name, k) => { at[name] = k; });
  const parts = data.columns.slice(at.standing_n);
  const calm = window.matchMedia("(prefers-reduced-motion: reduce)");
  const find = (name) => document.getElementById("player-" + name);
  const slider = find("slider"), told = find("told"), play = find("play"), stage = find("stage");
  const NS = "http://www.w3.org/2000/svg", G = 9.80665e-3, MM_PER_GRAM = 0.034;
  const state = { mode: "creep", beside: false, shown: data.setups.map(() => true), k: { creep: 0, punch: 0 }, timer: 0 };
  let scenes = [];

  function make(tag, attributes, parent) {
    const node = document.createElementNS(NS, tag);
    for (const name in attributes) node.setAttribute(name, attributes[name]);
    if (parent) parent.appendChild(node);
    return node;
  }

  // Places ---------------------------------------------------------------------
  function spot(frame, body, point) {
    const x = frame[at[body + "_x_mm"]], z = frame[at[body + "_z_mm"]], t = frame[at[body + "_theta_deg"]] * Math.PI / 180;
    return [x + point[0] * Math.cos(t) + point[1] * Math.sin(t), z - point[0] * Math.sin(t) + point[1] * Math.cos(t)];
  }

  function paper(grade) {
    const c = Math.cos(grade * Math.PI / 180), s = Math.sin(grade * Math.PI / 180);
    return (p) => [p[0] * c - p[1] * s, -(p[0] * s + p[1] * c)];
  }

  function hull(points) {
    const sorted = points.slice().sort((a, b) => a[0] - b[0] || a[1] - b[1]);
    const half = (list) => {
      const chain = [];
      for (const p of list) {
        while (chain.length > 1) {
          const a = chain[chain.length - 2], b = chain[chain.length - 1];
          if ((b[0] - a[0]) * (p[1] - a[1]) - (b[1] - a[1]) * (p[0] - a[0]) > 0) break;
          chain.pop();
        }
        chain.push(p);
      }
      return chain.slice(0, -1);
    };
    return sorted.length < 3 ? sorted : half(sorted).concat(half(sorted.reverse()));
  }

  const write = (points) => points.map((p) => p[0].toFixed(2) + "," + p[1].toFixed(2)).join(" ");

  // Frames ---------------------------------------------------------------------
  function frameOf(setup) {
    const frames = setup[state.mode], k = state.k[state.mode];
    if (!frames.length) return null;
    if (state.mode === "creep") return k < frames.length ? frames[k] : null;
    return frames[Math.min(k, frames.length - 1)];
  }

  function grade() {
    return state.mode === "creep" ? state.k.creep * data.grade_step_deg : data.punch_grade_deg;
  }

  const longest = (mode) => Math.max(...data.setups.map((s) => s[mode].length)) - 1;

  // Drawing --------------------------------------------------------------------
  function scene(indices, words) {
    const box = data.windows[state.mode];
    const svg = make("svg", { viewBox: box.join(" "), role: "img", "aria-label": words }, stage);
    const ground = make("g", {}, svg), groups = [];
    indices.forEach((k, order) => groups.push({ k, order, node: make("g", {}, svg) }));
    return { svg, box, ground, groups, forces: make("g", {}, svg) };
  }

  function rebuild() {
    stage.textContent = "";
    const shown = data.setups.map((_, k) => k).filter((k) => state.shown[k]);
    stage.classList.toggle("beside", state.beside);
    const words = "Side view to scale, moved by the slider; its numbers stand in the tables below";
    scenes = state.beside ? shown.map((k) => scene([k], data.setups[k].letter + ". " + words)) : [scene(shown, words)];
    draw();
  }

  function drawGround(s, place) {
    s.ground.textContent = "";
    const top = [place([-600, 0]), place([1200, 0])], under = [place([1200, -14]), place([-600, -14])];
    make("polygon", { points: write(top.concat(under)), fill: "var(--rock)" }, s.ground);
    make("polyline", { points: write(top), fill: "none", stroke: "var(--ink)", "stroke-width": 1.2 }, s.ground);
    const moved = s.groups.length ? frameOf(data.setups[s.groups[0].k]) : null;
    const shift = moved ? moved[at.travel_mm] % 100 : 0;
    for (let x = -600; x <= 1200; x += 100) {
      make("polyline", { points: write([place([x - shift, 0]), place([x - shift, -14])]), stroke: "var(--soft)", "stroke-width": 1.5 }, s.ground);
    }
    const bar = [s.box[0] + s.box[2] - 112, s.box[1] + s.box[3] - 8];
    make("polyline", { points: write([bar, [bar[0] + 100, bar[1]]]), stroke: "var(--ink)", "stroke-width": 2.5 }, s.ground);
    label(s.ground, [bar[0] + 50, bar[1] - 5], "100 mm", "middle", "");
  }

  // Words of a drawing stay readable on a phone: eleven points of the screen at least.
  function wordSize(svg) {
    return Math.max(14, Math.min(24, 11 * svg.viewBox.baseVal.width / (svg.clientWidth || 1000)));
  }

  function label(parent, p, words, anchor, kind) {
    const size = wordSize(parent.ownerSVGElement).toFixed(1);
    const node = make("text", { x: p[0].toFixed(1), y: p[1].toFixed(1), "text-anchor": anchor, "font-size": size, class: kind }, parent);
    node.textContent = words;
  }

  function drawVehicle(node, setup, frame, place, filled) {
    node.textContent = "";
    if (!frame) return;
    const origin = spot(frame, "rear", setup.wheels.rear)[0];
    const put = (body, point) => { const p = spot(frame, body, point); return place([p[0] - origin, p[1]]); };
    const line = { stroke: setup.colour, "stroke-dasharray": setup.dash, "stroke-width": 2, "stroke-linejoin": "round" };
    for (const end of ["rear", "front"]) {
      const c = put(end, setup.wheels[end]);
      make("circle", { ...line, cx: c[0].toFixed(2), cy: c[1].toFixed(2), r: setup.radii[end], fill: filled ? "var(--tyre)" : "none" }, node);
      make("circle", { cx: c[0].toFixed(2), cy: c[1].toFixed(2), r: 4, fill: setup.colour }, node);
    }
    for (const body of ["chassis", "rear", "front"]) {
      const points = hull(setup.hulls[body].map((p) => put(body, p)));
      if (points.length > 2) make("polygon", { ...line, points: write(points), fill: filled ? "var(--hull)" : "none", class: body }, node);
    }
    for (const [bars, width] of [[setup.links, 4], [setup.shocks, 6]]) {
      for (const bar of bars) {
        const ends = [put("chassis", bar.chassis), put(bar.end, bar.axle)];
        make("polyline", { points: write(ends), stroke: setup.colour, "stroke-width": filled ? width : width - 1.5,
          "stroke-linecap": "round", "stroke-dasharray": bars === setup.shocks ? "2 3" : setup.dash }, node);
        for (const p of ends) make("circle", { cx: p[0].toFixed(2), cy: p[1].toFixed(2), r: 2.8, fill: "var(--paper)", stroke: setup.colour }, node);
      }
    }
    const g = place([frame[at.cg_x_mm] - origin, frame[at.cg_z_mm]]);
    make("circle", { cx: g[0].toFixed(2), cy: g[1].toFixed(2), r: 7, fill: "var(--paper)", stroke: setup.colour, "stroke-width": 2, class: "cg" }, node);
    make("path", { d: `M${g[0] - 7} ${g[1]}h14M${g[0]} ${g[1] - 7}v14`, stroke: setup.colour, "stroke-width": 1.5 }, node);
  }

  function arrow(parent, tail, head) {
    const dx = head[0] - tail[0], dy = head[1] - tail[1], size = Math.hypot(dx, dy);
    if (size < 4) return;
    const ux = dx / size, uy = dy / size, tip = Math.min(12, size * 0.6), back = [head[0] - ux * tip, head[1] - uy * tip];
    make("polyline", { points: write([tail, back]), stroke: "var(--arrow)", "stroke-width": 3, fill: "none" }, parent);
    make("polygon", { points: write([head, [back[0] - uy * 5, back[1] + ux * 5], [back[0] + uy * 5, back[1] - ux * 5]]), fill: "var(--arrow)" }, parent);
  }

  function drawForces(s, place) {
    s.forces.textContent = "";
    s.groups.forEach((g, line) => {
      const setup = data.setups[g.k], shown = frameOf(setup);
      const words = setup.letter + ": " + (shown ? "front " + shown[at.front_load_g].toFixed(0) + " g" : state.mode === "creep" ? "past its last crawl" : "no punch");
      label(s.forces, [s.box[0] + 6, s.box[1] + 6 + wordSize(s.svg) * (1 + 1.35 * line)], words, "start", "");
      s.forces.lastChild.style.fill = "var(--n" + g.k % 6 + ")";
    });
    const first = s.groups.find((g) => frameOf(data.setups[g.k]));
    if (!first) return;
    const setup = data.setups[first.k], frame = frameOf(setup);
    const origin = spot(frame, "rear", setup.wheels.rear)[0];
    const centre = place([frame[at.cg_x_mm] - origin, frame[at.cg_z_mm]]);
    arrow(s.forces, centre, [centre[0], centre[1] + setup.weight_g * MM_PER_GRAM]);
    for (const end of ["rear", "front"]) {
      const x = spot(frame, end, setup.wheels[end])[0] - origin, foot = place([x, 0]);
      const load = frame[at[end + "_load_g"]], pull = frame[at[end + "_traction_g"]];
      arrow(s.forces, place([x, -load * MM_PER_GRAM]), foot);
      arrow(s.forces, foot, place([x + pull * MM_PER_GRAM, 0]));
      if (load === 0) continue;
      const far = place([x, -load * MM_PER_GRAM - 12]);
      label(s.forces, [far[0] + 4, far[1] + 8], load.toFixed(0) + " g", "start", "force");
    }
  }

  // Tables ---------------------------------------------------------------------
  function cell(row, words, tag) {
    const node = document.createElement(tag || "td");
    // A long name may be broken after its underscores.
    words.split("_").forEach((part, k, all) => {
      if (k) node.appendChild(document.createElement("wbr"));
      node.appendChild(document.createTextNode(part + (k < all.length - 1 ? "_" : "")));
    });
    row.appendChild(node);
    return node;
  }

  function signed(value, digits) {
    const words = value.toFixed(digits);
    return Number(words) > 0 ? "+" + words : words;
  }

  function fill(body, rows) {
    body.textContent = "";
    for (const words of rows) {
      const row = document.createElement("tr");
      words.forEach((word, k) => {
        const node = cell(row, word, k ? "td" : "th");
        if (!k) {
          node.scope = "row";
          node.className = "name";
        }
      });
      body.appendChild(row);
    }
  }

  function loadsTable() {
    const base = frameOf(data.setups[0]);
    fill(find("loads"), data.setups.filter((_, k) => state.shown[k]).map((setup) => {
      const frame = frameOf(setup), name = setup.letter + " " + setup.name;
      if (!frame) return [name, state.mode === "creep" ? "past its last steady crawl" : "no punch", "", "", "", ""];
      const front = frame[at.front_load_g];
      return [name, front.toFixed(0) + " g", (front * G).toFixed(2) + " N", base && setup !== data.setups[0] ? signed(front - base[at.front_load_g], 1) + " g" : "",
        frame[at.rear_load_g].toFixed(0) + " g", frame[at.nose_up_pitch_deg].toFixed(2) + " deg"];
    }));
  }

  function budgetTable() {
    const shown = data.setups.filter((setup, k) => state.shown[k] && frameOf(setup));
    const head = find("budget-head"), body = find("budget");
    head.textContent = "";
    body.textContent = "";
    cell(head, "part of the front load", "th").scope = "col";
    for (const setup of shown) cell(head, setup.letter + ", g", "th").scope = "col";
    const reach = Math.max(1, ...shown.map((s) => s.weight_g));
    const line = (words, values) => {
      const row = document.createElement("tr");
      cell(row, words, "th").scope = "row";
      values.forEach((value, k) => {
        const node = cell(row, "");
        const number = document.createElement("span");
        number.textContent = signed(value, 1);
        node.appendChild(number);
        const svg = make("svg", { viewBox: "-50 0 100 10", "aria-hidden": "true", preserveAspectRatio: "none" }, node);
        const width = Math.min(50, 50 * Math.abs(value) / reach);
        make("path", { d: "M0 0V10", stroke: "var(--soft)" }, svg);
        make("rect", { x: value < 0 ? -width : 0, y: 2, width, height: 6, fill: shown[k].colour }, svg);
      });
      body.appendChild(row);
    };
    const words = JSON.parse(root.dataset.parts);
    parts.filter((part) => part in words).forEach((part) => line(words[part], shown.map((s) => frameOf(s)[at[part]])));
    line("front axle load", shown.map((s) => frameOf(s)[at.front_load_g]));
  }

  // Control --------------------------------------------------------------------
  function tell() {
    if (state.mode === "creep") {
      told.textContent = "steady crawl at " + grade().toFixed(1) + " deg (" + (100 * Math.tan(grade() * Math.PI / 180)).toFixed(0) + " %)";
    } else {
      const time = state.k.punch * data.time_step_s;
      const over = data.setups.filter((s, k) => state.shown[k] && s.punch.length && state.k.punch >= s.punch.length).map((s) => s.letter);
      told.textContent = "punch at " + grade() + " deg, " + time.toFixed(3) + " s" + (over.length ? "; already over: " + over.join(", ") : "");
    }
    slider.setAttribute("aria-valuetext", told.textContent);
  }

  function draw() {
    const place = paper(grade());
    for (const s of scenes) {
      drawGround(s, place);
      for (const g of s.groups) drawVehicle(g.node, data.setups[g.k], frameOf(data.setups[g.k]), place, g.order === 0);
      drawForces(s, place);
    }
    loadsTable();
    budgetTable();
    tell();
  }

  function go(k) {
    state.k[state.mode] = Math.max(0, Math.min(longest(state.mode), k));
    slider.value = state.k[state.mode];
    draw();
  }

  function stop() {
    if (state.timer) window.cancelAnimationFrame(state.timer);
    state.timer = 0;
    play.textContent = calm.matches ? "next" : "play";
    play.setAttribute("aria-pressed", "false");
  }

  function moments() {
    const step = state.mode === "creep" ? 10 : 20, last = longest(state.mode), found = new Set([0, last]);
    for (let k = 0; k < last; k += step) found.add(k);
    if (state.mode === "punch") for (const event of data.punch_events) found.add(Math.min(last, Math.round(event.time_s / data.time_step_s)));
    return Array.from(found).sort((a, b) => a - b);
  }

  function start() {
    const last = longest(state.mode);
    if (calm.matches) {
      go(moments().find((k) => k > state.k[state.mode]) || 0);
      return;
    }
    const from = state.k[state.mode] >= last ? 0 : state.k[state.mode];
    // Grades pass at 10 deg/s, the punch at an eighth of its speed.
    const pace = state.mode === "creep" ? 10 / data.grade_step_deg : 0.125 / data.time_step_s;
    const began = performance.now();
    play.textContent = "pause";
    play.setAttribute("aria-pressed", "true");
    const tick = (now) => {
      const k = from + Math.floor((now - began) / 1000 * pace);
      go(k);
      if (k >= last) stop(); else state.timer = window.requestAnimationFrame(tick);
    };
    state.timer = window.requestAnimationFrame(tick);
  }

  function setMode(mode) {
    stop();
    state.mode = mode;
    slider.max = longest(mode);
    slider.value = state.k[mode];
    find("slider-name").textContent = mode === "creep" ? "grade, deg" : "time, s";
    rebuild();
  }

  slider.addEventListener("input", () => { stop(); go(Number(slider.value)); });
  play.addEventListener("click", () => { if (state.timer) stop(); else start(); });
  calm.addEventListener("change", stop);
  root.querySelectorAll("input[name=mode]").forEach((input) => input.addEventListener("change", () => setMode(input.value)));
  root.querySelectorAll("input[name=layout]").forEach((input) => input.addEventListener("change", () => { state.beside = input.value === "beside"; rebuild(); }));
  root.querySelectorAll("input[data-setup]").forEach((input) => input.addEventListener("change", () => {
    state.shown[Number(input.dataset.setup)] = input.checked;
    rebuild();
  }));
  state.k.creep = Math.min(longest("creep"), Math.round(Number(root.dataset.grade) / data.grade_step_deg));
  root.hidden = false;
  document.documentElement.classList.add("moving");
  root.querySelectorAll("input").forEach((input) => { if (input.type !== "range") input.checked = input.defaultChecked; });
  setMode("creep");
}());
