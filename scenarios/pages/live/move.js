// Link ends in the reader's hand, and how far links alone can be pushed.
const endBox = find("move-end"), along = find("move-along"), up = find("move-up");
const nameOf = (name) => Array.from(endBox.options).find((option) => option.value === name).textContent;
function place(name, dx, dz) {
  const limit = (v) => Math.max(-data.reach_mm, Math.min(data.reach_mm, v));
  state.moves[name] = [limit(dx), limit(dz)];
  endBox.value = name;
  refresh(true);
}
const halves = (v) => Math.round(2 * v) / 2, moveOf = (name) => state.moves[name] || [0, 0];
for (const name of data.link_ends) {
  const group = ringHandle(name, nameOf(name), -data.reach_mm, data.reach_mm);
  const spot = (event) => {
    const p = new DOMPoint(event.clientX, event.clientY).matrixTransform(drawing.svg.getScreenCTM().inverse()), c = Math.cos(state.grade * RADIANS), s = Math.sin(state.grade * RADIANS);
    return [p.x * c - p.y * s, -p.x * s - p.y * c];
  };
  drags(group, (event) => { dragging = true; return { spot: spot(event), move: moveOf(name) }; }, (event, from) => {
    const now = spot(event);
    place(name, ...from.move.map((v, k) => halves(v + now[k] - from.spot[k])));
  });
  group.addEventListener("keydown", (event) => {
    const step = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] }[event.key];
    if (!step) return;
    event.preventDefault();
    const [dx, dz] = moveOf(name);
    place(name, dx + step[0], dz + step[1]);
    later();
  });
}
endBox.addEventListener("change", () => refresh(false));
for (const [input, k] of [[along, 0], [up, 1]]) {
  input.addEventListener("input", () => {
    const now = moveOf(endBox.value).slice(), value = Number(input.value);
    if (input.value === "" || !Number.isFinite(value)) return;
    now[k] = value;
    place(endBox.value, now[0], now[1]);
  });
  input.addEventListener("change", later);
}
for (const name of ["fitted", "reset"]) find(`move-${name}`).addEventListener("change", (event) => { state[name] = event.target.checked; refresh(true); later(); });
find("move-back").addEventListener("click", () => { state.moves = {}; state.setup = 0; if (chooser) chooser.value = "0"; refresh(true); later(); });
const loads = loadChart(find("move-loads"), say("move_loads", baseLabel)), chart = bandChart(find("move-chart"), W.move_chart, data.measurable_g, data.noticed_g);
ready.push(() => {
  const [dx, dz] = moveOf(endBox.value), short = (words) => words.replace(/,.*/, "");
  if (document.activeElement !== along) along.value = dx;
  if (document.activeElement !== up) up.value = dz;
  for (const name of data.link_ends) {
    const [hx, hz] = moveOf(name);
    set(handles[name].group, { "aria-valuenow": hz, "aria-valuetext": `${short(W.move_along)} ${signed(hx, 1)} mm, ${short(W.move_up)} ${signed(hz, 1)} mm` });
  }
  const curves = [[], []], points = [], base = pathOf(0);
  if (base && state.path) for (let g = 0; g <= 88; g += 3) {
    const rows = [state.path, base].map((p) => p.row(g * RADIANS));
    rows.forEach((row, k) => { if (row.state && curves[k].length === g / 3) curves[k].push([g, grams(row.front_load_n)]); });
    if (!rows.some((row) => row.state)) break;
    if (rows.every((row) => row.state) && points.length === g / 3) points.push([g, grams(rows[0].front_load_n - rows[1].front_load_n)]);
  }
  loads(curves.filter((curve) => curve.length > 1), [], state.grade);
  chart.draw(points, state.grade);
  const anti = (standing, row) => (row && row.state ? antiSquat(standing, row) : null);
  const baseRow = base ? base.row(state.grade * RADIANS) : null, was = baseRow && anti(bases[0], baseRow), now = state.row && anti(state.standing, state.row);
  find("move-worth").textContent = was === null || now === null || !baseRow.state ? "" : say("move_worth", { was: (100 * was).toFixed(0), now: (100 * now).toFixed(0),
    grams: signed(grams(state.row.front_load_n - baseRow.front_load_n), 1), grade: state.grade.toFixed(1) });
});

// Push it --------------------------------------------------------------------
if (data.most) ready.push(() => {
  const score = find("push-score"), [base, row] = [pathOf(0), state.path].map((p) => (p ? p.row(data.most.grade_deg * RADIANS) : {}));
  if (!row.state || !base.state) { score.textContent = W.unfollowed; return; }
  const change = grams(row.front_load_n - base.front_load_n), rising = change >= 0;
  const whole = rising ? data.most.high_g - grams(base.front_load_n) : grams(base.front_load_n) - data.most.low_g;
  score.textContent = say("push_score", { grams: signed(change, 1), share: ((100 * Math.abs(change)) / Math.max(whole, 1e-9)).toFixed(0), side: rising ? W.push_most : W.push_least });
});
