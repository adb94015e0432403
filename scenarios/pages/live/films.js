// What moves: the punch and its films, whether they can be told apart, and the four wheels seen from behind.
const punchBox = find("punch"), SLOWER = 0.125, FILM_STEP_S = 0.02;
let running = 0;
/** Films side by side with the slider of their moment; `show(time)` shows one. */
function filmsIn(place_, members, until) {
  place_.textContent = "";
  const shows = members.map(({ label, result, standing, grade }) => {
    const made = document.createElement("figure"), words = document.createElement("figcaption");
    const draw = slopeDrawing(made, label), car = vehicleDrawing(draw.svg, {});
    words.textContent = label;
    made.appendChild(words);
    place_.appendChild(made);
    draw.tilt(grade);
    return (time) => { const now = moment(result, Math.min(time, result.run.times[result.run.times.length - 1])); frame(draw.svg, [car.update(standing.values, now.state, grade)]); };
  });
  const label = document.createElement("label"), slider = document.createElement("input");
  Object.assign(slider, { type: "range", min: 0, max: until, step: FILM_STEP_S, value: 0 });
  label.append(W.moment, slider);
  place_.appendChild(label);
  const show = (time) => { shows.forEach((draw) => draw(time)); slider.value = time; tellSlider(slider, `${time.toFixed(2)} s`); };
  slider.addEventListener("input", () => { window.cancelAnimationFrame(running); show(Number(slider.value)); });
  return { show, until };
}
/** Where motion is unwelcome nothing runs by itself: the slider steps. */
function play(film) {
  window.cancelAnimationFrame(running);
  if (calm.matches) { film.show(0); return; }
  const began = performance.now();
  const tick = (now) => {
    const time = Math.max(0, Math.min(film.until, ((now - began) / 1000) * SLOWER));
    film.show(time);
    if (time < film.until) running = window.requestAnimationFrame(tick);
  };
  running = window.requestAnimationFrame(tick);
}
function punchWords(result) {
  if (result.failed) return W[result.failed];
  const ms = 1e3 * result.airborne[1];
  return `${W[result.outcome]}; ${ms > 0 ? say("punch_airborne", { ms: ms.toFixed(0), gap: (1e3 * result.gap).toFixed(0) }) : W.punch_loaded}`;
}
if (punchBox) {
  const inputs = ["throttle", "rise", "grade"].map((name) => find(`punch-${name}`));
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
    if (good.length) play(filmsIn(find("punch-films"), good, 1));
  });
}

// Which wheel goes first --------------------------------------------------------
const wheelsAnswer = find("wheels-answer");
if (wheelsAnswer) {
  const inputs = ["grade", "ratio", "rear", "front"].map((name) => find(`wheels-${name}`)), off = find("wheels-off");
  const [gradeInput, ratioInput, rearInput, frontInput] = inputs, built = ratioInput ? Number(ratioInput.value) : null;
  const own = data.setups[0].wheels, rival = other ? data.setups[other].wheels : null;
  const draw = fromBehind(find("wheels-drawing"), W), deg = (angle) => (angle / RADIANS).toFixed(1);
  let walk = null, plain = null, bare = null, theirs = null, soon = 0;
  const liftWords = () => {
    const { lift, both, wheel, ended, at } = walk;
    const parts = [lift === null ? say("wheels_none", { why: say(ended, { grade: deg(at) }) }) : both ? say("wheels_both", { axle: W[both], grade: deg(lift) }) : say("wheels_lift", { wheel: W[wheel], grade: deg(lift) })];
    if (bare !== null && !(off && off.checked)) parts.push(say("wheels_shafts", { grade: deg(bare) }));
    if (theirs !== null && plain && plain.lift !== null) parts.push(say("wheels_links", { setup: data.setups[other].label, grade: deg(theirs), change: signed((theirs - plain.lift) / RADIANS, 1) }));
    return parts;
  };
  const showWheels = () => {
    if (!walk) return;
    const grade = Number(gradeInput.value) * RADIANS, parts = liftWords();
    let row = null;
    if (walk.lift === null || grade <= walk.lift) {
      const before = walk.rows.filter((r) => r.grade <= grade + 1e-12).pop();
      row = before && wheelsAt(walk.vehicle, before, grade);
    }
    if (row) parts.push(say("wheels_twist", { grade: gradeInput.value, twist: (Math.abs(grams(row.loads[2] - row.loads[3])) / 2).toFixed(0) }));
    else parts.push(W.wheels_past);
    wheelsAnswer.textContent = parts.join(" ");
    draw(row);
  };
  const solveWheels = () => {
    const ratio = ratioInput && Number(ratioInput.value) !== built ? Number(ratioInput.value) : null;
    walk = firstLift(withSpace(own, { shafts: !(off && off.checked), ratio, rearSprings: Number(rearInput.value), frontSprings: Number(frontInput.value) }));
    showWheels();
  };
  const afterwards = (work, wait) => { window.clearTimeout(soon); soon = window.setTimeout(work, wait); };
  for (const input of inputs) if (input) input.addEventListener("input", () => afterwards(input === gradeInput ? showWheels : solveWheels, input === gradeInput ? 0 : RESTS_MS));
  if (off) off.addEventListener("change", () => afterwards(solveWheels, 0));
  // Three climbs take a while: the page wakes first.
  window.setTimeout(() => {
    bare = firstLift(withSpace(own, { shafts: false })).lift;
    plain = firstLift(own);
    theirs = rival ? firstLift(rival).lift : null;
    if (!walk) walk = plain;
    showWheels();
  }, 0);
}

// Could you tell? --------------------------------------------------------------
const blind = find("blind-start");
if (blind) {
  const trial = { done: 0, right: 0, order: null }, buttons = [find("blind-first"), find("blind-second")], results = [0, other].map((k) => (bases[k].failed ? bases[k] : null));
  const next = () => {
    trial.order = Math.random() < 0.5 ? [0, other] : [other, 0];
    const members = trial.order.map((k, i) => ({ label: String(i + 1), standing: bases[k], grade: data.punch_grade_deg * RADIANS, result: results[k ? 1 : 0] }));
    play(filmsIn(find("blind-films"), members, 1));
  };
  blind.addEventListener("click", () => {
    [0, other].forEach((k, i) => { results[i] = results[i] || punch(bases[k], { grade: data.punch_grade_deg * RADIANS, throttle: data.throttle, rise: data.rise_s }); });
    const failed = results.find((result) => result.failed);
    if (failed) { find("blind-answer").textContent = W[failed.failed]; return; }
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
