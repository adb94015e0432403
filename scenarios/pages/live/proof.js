// The reader's own numbers, and why to believe all this.
// Your own ---------------------------------------------------------------------
const ownInputs = ["wheelbase", "rear", "front", "height"].map((name) => find(`own-${name}`));
const kept = new URLSearchParams(window.location.hash.slice(1));
ownInputs.forEach((input) => { const value = kept.get(input.name); if (value !== null && Number(value) > 0) input.value = String(Number(value)); });
const linked = find("own-linked");
linked.checked = kept.get("links") === "1";
for (const name of data.link_ends) {
  const [dx, dz] = (kept.get(name) || "").split(",").map(Number);
  if (Number.isFinite(dx) && Number.isFinite(dz)) place(name, dx, dz);
}
function ownAnswer() {
  const [l, r, f, h] = ownInputs.map((input) => Number(input.value)), answer = find("own-answer"), save = find("own-save");
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
  const standing = vehicle ? stand(vehicle) : { failed: "own_light" };
  if (standing.failed) return W[standing.failed];
  const path = climb(standing), at = path.row(data.grade_deg * RADIANS), tip = path.limits.tip_over;
  if (tip === null || !at.state) return at.state ? W.unfollowed : reason(at, path);
  return say("own_links", { grams: grams(at.front_load_n).toFixed(0), grade: data.grade_deg, tip: degrees(tip).toFixed(2), change: signed(degrees(tip) - rigid, 1) });
}
function keepOwn() {
  const query = new URLSearchParams(ownInputs.map((field) => [field.name, field.value]));
  if (linked.checked) { query.set("links", "1"); for (const name in state.moves) if (state.moves[name].some(Boolean)) query.set(name, state.moves[name].join(",")); }
  try { window.history.replaceState(null, "", "#" + query); } catch (refused) { window.location.hash = query; }
}
linked.addEventListener("change", () => { keepOwn(); ownAnswer(); });
ready.push(() => { if (linked.checked) { keepOwn(); ownAnswer(); } });
ownInputs.forEach((input) => input.addEventListener("input", () => { keepOwn(); ownAnswer(); }));
ownAnswer();

// Why --------------------------------------------------------------------------
const moments = find("why-moments"), sketch = momentSketch(find("why-sketch"), W.why_sketch);
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
  moments.textContent = "";
  for (const [words, value] of rows) {
    const line = document.createElement("tr"), head = document.createElement("th"), cell = document.createElement("td");
    head.scope = "row";
    head.textContent = words;
    cell.textContent = value;
    line.append(head, cell);
    moments.appendChild(line);
  }
});
function showReadings() {
  const missed = data.measured.filter(([, read, error, predicted]) => Math.abs(read - predicted) > 2 * error).length, count = data.measured.length;
  find("why-measured").textContent = count ? say("why_measured", { inside: count - missed, count, missed }) : W.why_unmeasured;
  const curve = data.measured_curve;
  if (count && curve.length > 1) loadChart(find("why-chart"), W.why_chart)([curve], data.measured);
}
function compareSaved() {
  const misses = data.saved.map(([k, grade, force]) => { const row = pathOf(k) && pathOf(k).row(grade * RADIANS); return row && row.state ? Math.abs(grams(row.front_load_n - force)) : Infinity; });
  find("why-saved").textContent = say("why_saved", { count: data.saved.length, worst: Math.max(0, ...misses).toFixed(2) });
}

root.classList.add("awake");
measure();
window.addEventListener("resize", () => { measure(); refresh(false); });
settle();
// What is slow at its first use is used once before anybody asks.
window.setTimeout(() => { showReadings(); compareSaved(); if (punchBox && !bases[0].failed) punch(bases[0], { grade: data.punch_grade_deg * RADIANS, duration: 0.3 }); }, 200);
