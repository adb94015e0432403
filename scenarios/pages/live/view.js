// Drawing: SVG nodes are made once and their attributes updated; the vehicle to scale in the incline frame, turned by the grade.
const SVG = "http://www.w3.org/2000/svg";
function node(tag, attributes, parent, words) {
  const made = document.createElementNS(SVG, tag);
  set(made, attributes);
  if (words !== undefined) made.textContent = words;
  if (parent) parent.appendChild(made);
  return made;
}
function set(target, attributes) { for (const name in attributes) target.setAttribute(name, attributes[name]); return target; }
const path = (points, closed) => "M" + points.map((p) => p[0].toFixed(1) + " " + p[1].toFixed(1)).join("L") + (closed ? "Z" : "");

function hullOf(points) {
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

/** Places (mm, paper: x right, y down) of everything drawn, the rear contact at the origin. */
function placesOf(values, coordinates, grade) {
  const c = Math.cos(grade), s = Math.sin(grade), rear = wheelX(values, "rear", coordinates[3], coordinates[5]);
  const paper = (x, z) => [1e3 * ((x - rear) * c - z * s), -1e3 * ((x - rear) * s + z * c)];
  const at = { chassis: 0, rear: 3, front: 6 }, found = { paper, rear, points: {}, wheels: {} };
  const put = (body, x, z) => { const k = at[body], [px, pz] = turnedPoint(coordinates[k + 2], x, z); return paper(coordinates[k] + px, coordinates[k + 1] + pz); };
  for (const end of ENDS) {
    for (const part of ["lower_link", "upper_link", "shock"]) {
      found.points[`${end}_${part}_chassis`] = put("chassis", values[`${end}_${part}_chassis_x`], values[`${end}_${part}_chassis_z`]);
      found.points[`${end}_${part}_axle`] = put(end, values[`${end}_${part}_axle_x`], values[`${end}_${part}_axle_z`]);
    }
    found.wheels[end] = put(end, values[`${end}_wheel_centre_x`], values[`${end}_wheel_centre_z`]);
  }
  let x = 0, z = 0, mass = 0;
  ["chassis", "rear", "front"].forEach((body) => { const m = values[`${body}_mass`]; x += m * coordinates[at[body]]; z += m * coordinates[at[body] + 1]; mass += m; });
  found.centre = paper(x / mass, z / mass);
  return found;
}

/** One vehicle of a drawing; `update(values, coordinates, grade)` moves it. */
function vehicleDrawing(parent, look) {
  const group = node("g", { class: look.ghost ? "ghost" : "vehicle" }, parent), parts = {};
  for (const end of ENDS) { parts[`wheel_${end}`] = node("circle", { class: "tyre" }, group); parts[`hub_${end}`] = node("circle", { r: 4, class: "hub" }, group); }
  parts.frame = node("path", { class: "frame" }, group);
  for (const end of ENDS) for (const part of ["lower_link", "upper_link", "shock"]) parts[`${end}_${part}`] = node("path", { class: part === "shock" ? "shock" : "link" }, group);
  parts.centre = node("path", { class: "centre" }, group);
  return {
    group,
    hide() { group.setAttribute("visibility", "hidden"); },
    update(values, coordinates, grade) {
      const places = placesOf(values, coordinates, grade), p = places.points;
      group.removeAttribute("visibility");
      for (const end of ENDS) {
        const [cx, cy] = places.wheels[end];
        set(parts[`wheel_${end}`], { cx: cx.toFixed(1), cy: cy.toFixed(1), r: (1e3 * values[`${end}_tyre_radius`]).toFixed(1) });
        set(parts[`hub_${end}`], { cx: cx.toFixed(1), cy: cy.toFixed(1) });
        for (const part of ["lower_link", "upper_link", "shock"]) parts[`${end}_${part}`].setAttribute("d", path([p[`${end}_${part}_chassis`], p[`${end}_${part}_axle`]]));
      }
      parts.frame.setAttribute("d", path(hullOf(Object.keys(p).filter((n) => n.endsWith("_chassis")).map((n) => p[n])), true));
      const [gx, gy] = places.centre;
      parts.centre.setAttribute("d", `M${gx - 7} ${gy}a7 7 0 1 0 14 0a7 7 0 1 0 -14 0M${gx - 7} ${gy}h14M${gx} ${gy - 7}v14`);
      return places;
    },
  };
}

/** A drawing of a slope; `role` is "group" where it holds controls. */
function slopeDrawing(holder, label, role = "img") {
  const svg = node("svg", { role, "aria-label": label, preserveAspectRatio: "xMidYMid meet" }, holder);
  const ground = node("path", { class: "ground" }, svg);
  return { svg, ground, tilt(grade) {
    const c = Math.cos(grade), s = Math.sin(grade), far = 1500;
    ground.setAttribute("d", path([[-far * c, far * s], [far * c, -far * s], [far * c + 40 * s, -far * s + 40 * c], [-far * c + 40 * s, far * s + 40 * c]], true));
  } };
}

/** A curve over grade between two bands, in grams: made once, redrawn with new points. */
function bandChart(holder, label, measurable, noticed) {
  const width = 340, height = 190, left = 44, right = 10, top = 14, bottom = 30;
  const svg = node("svg", { viewBox: `0 0 ${width} ${height}`, role: "img", "aria-label": label, class: "chart" }, holder);
  const wide = node("rect", { class: "noticed-band" }, svg), narrow = node("rect", { class: "measured-band" }, svg);
  const axes = node("g", { class: "axes" }, svg), line = node("path", { class: "curve" }, svg), mark = node("path", { class: "here" }, svg);
  return { draw(points, here) {
    const seen = points.map((p) => Math.abs(p[1])), reach = Math.max(1.25 * noticed, ...seen) * 1.1, last = points.length > 1 ? points[points.length - 1][0] : 60;
    const x = (g) => left + ((width - left - right) * g) / last, y = (v) => top + ((height - top - bottom) * (reach - v)) / (2 * reach);
    for (const [band, half] of [[wide, noticed], [narrow, measurable]]) set(band, { x: left, width: width - left - right, y: y(half).toFixed(1), height: (y(-half) - y(half)).toFixed(1) });
    axes.textContent = "";
    node("path", { d: `M${left} ${y(0)}H${width - right}` }, axes);
    for (const v of [-noticed, -measurable, 0, measurable, noticed]) node("text", { x: left - 5, y: y(v) + 4, "text-anchor": "end" }, axes, (v > 0 ? "+" : v < 0 ? "\u2212" : "") + Math.abs(v).toFixed(0));
    for (let g = 0; g <= last; g += 15) node("text", { x: x(g), y: height - 10, "text-anchor": "middle" }, axes, `${g}\u00b0`);
    line.setAttribute("d", points.length ? path(points.map((p) => [x(p[0]), y(p[1])])) : "");
    mark.setAttribute("d", here <= last ? `M${x(here)} ${top}V${height - bottom}` : "");
  } };
}

/** The vehicle from behind: chassis and axles rolled as solved, loads of the four wheels as bars and grams. */
function fromBehind(holder, words) {
  const svg = node("svg", { viewBox: "0 0 340 200", role: "img", class: "chart behind" }, holder), half = 84, middle = 170, floor = 128;
  node("path", { class: "ground", d: `M20 ${floor}H320V${floor + 6}H20Z` }, svg);
  const line = (name) => node("path", { class: name }, svg), body = line("frame"), axles = [line("axle front"), line("axle rear")];
  const bars = WHEELS.map((wheel, i) => {
    const left = wheel.endsWith("left"), x = left ? (i < 2 ? 46 : 8) : i < 2 ? 254 : 292;
    node("text", { x: x + 20, y: 196, "text-anchor": "middle" }, svg, words[wheel].replace(/(rear|front) /, "$1\u00a0").split("\u00a0")[0]);
    return { x, bar: node("rect", { x: x + 4, width: 32, class: "load-head" }, svg), text: node("text", { x: x + 20, "text-anchor": "middle" }, svg) };
  });
  return (row) => {
    svg.setAttribute("aria-label", row ? WHEELS.map((wheel, i) => `${words[wheel]} ${grams(row.loads[i]).toFixed(0)} g`).join(", ") : words.wheels_past);
    // Left side up is positive; the left of the vehicle is on the left, seen from behind.
    const wheelPath = (roll, size) => {
      const c = Math.cos(roll), s = Math.sin(roll), at = (x, y) => [middle + x * c - y * s, floor - 34 - (-x * s + y * c)], box = (x) => path([at(x - 13, -34), at(x + 13, -34), at(x + 13, 34), at(x - 13, 34)], true);
      return box(-half * size) + box(half * size) + path([at(-half * size, 0), at(half * size, 0)]);
    };
    const roll = row ? row.roll : 0, c = Math.cos(roll), s = Math.sin(roll), at = (x, y) => [middle + x * c - y * s, floor - 34 - (-x * s + y * c)];
    axles[0].setAttribute("d", wheelPath(row ? row.axleRoll[1] : 0, 0.9));
    axles[1].setAttribute("d", wheelPath(row ? row.axleRoll[0] : 0, 1));
    body.setAttribute("d", path([at(-44, 14), at(44, 14), at(36, 78), at(-36, 78)], true));
    const most = row ? Math.max(...row.loads) : 1;
    bars.forEach(({ bar, text }, i) => {
      const tall = row ? (34 * Math.max(0, row.loads[i])) / most : 0;
      set(bar, { y: (182 - tall).toFixed(1), height: tall.toFixed(1) });
      text.setAttribute("y", (178 - tall).toFixed(1));
      text.textContent = row ? grams(row.loads[i]).toFixed(0) : "\u2013";
    });
  };
}

/** Front axle load over grade: curves (the second dashed), readings with bars of two standard errors, misses marked. */
function loadChart(holder, label) {
  const width = 340, height = 210, left = 48, right = 8, top = 10, bottom = 28;
  const svg = node("svg", { viewBox: `0 0 ${width} ${height}`, role: "img", "aria-label": label, class: "chart" }, holder);
  return (curves, points, here = null) => {
    svg.textContent = "";
    if (!curves.length) return;
    const all = curves.flat(), most = Math.max(...all.map((p) => p[1]), ...points.map((p) => p[1] + 2 * p[2])) * 1.04, last = Math.max(...all.map((p) => p[0]), ...points.map((p) => p[0])) * 1.03;
    const x = (g) => left + ((width - left - right) * g) / last, y = (v) => top + ((height - top - bottom) * (most - v)) / most;
    const axes = node("g", { class: "axes" }, svg), step = 10 ** Math.floor(Math.log10(most)), each = most / step > 5 ? 2 * step : most / step > 2 ? step : step / 2;
    node("path", { d: `M${left} ${top}V${y(0)}H${width - right}` }, axes);
    for (let v = 0; v <= most; v += each) node("text", { x: left - 5, y: y(v) + 4, "text-anchor": "end" }, axes, `${v.toFixed(0)}${v ? "" : " g"}`);
    for (let g = 0; g <= last; g += 15) node("text", { x: x(g), y: height - 8, "text-anchor": "middle" }, axes, `${g}\u00b0`);
    curves.forEach((curve, k) => node("path", { class: k ? "curve was" : "curve", d: path(curve.map((p) => [x(p[0]), y(p[1])])) }, svg));
    if (here !== null && here <= last) node("path", { class: "here", d: `M${x(here)} ${top}V${height - bottom}` }, svg);
    for (const [grade, read, error, predicted] of points) {
      const missed = Math.abs(read - predicted) > 2 * error, group = node("g", { class: missed ? "reading missed" : "reading" }, svg);
      node("path", { d: `M${x(grade).toFixed(1)} ${y(read - 2 * error).toFixed(1)}V${y(read + 2 * error).toFixed(1)}` }, group);
      node("circle", { cx: x(grade).toFixed(1), cy: y(read).toFixed(1), r: missed ? 4.5 : 3 }, group);
    }
  };
}

/** Weight, its arms and the front axle load on a slope: forces to one scale, lengths to another. */
function momentSketch(holder, label) {
  const svg = node("svg", { viewBox: "0 0 340 170", role: "img", "aria-label": label, class: "chart" }, holder);
  const made = {};
  for (const name of ["ground", "arm", "zero", "curve", "load-head"]) made[name] = node("path", { class: name }, svg);
  const texts = ["b", "h", "L", "W", "N"].map((word) => node("text", { "text-anchor": "middle" }, svg, word));
  return (b, h, l, grade, weight, load) => {
    const scale = 210 / l, x0 = 60, y0 = 118, at = (x, z) => [x0 + x * scale, y0 - z * scale], g = at(b, h), f = at(l, 0);
    made.ground.setAttribute("d", path([[20, y0], [320, y0], [320, y0 + 5], [20, y0 + 5]], true));
    made.zero.setAttribute("d", path([at(0, 0), g]) + path([[x0, y0 + 20], [g[0], y0 + 20]]) + path([[x0, y0 + 38], f.map((v, i) => v + 38 * i)]) + path([[g[0] - 14, y0], [g[0] - 14, g[1]]]));
    const size = 62, w = [g[0] - size * Math.sin(grade), g[1] + size * Math.cos(grade)], tall = (size * Math.max(0, load)) / weight;
    made.curve.setAttribute("d", path([g, w]) + path([[f[0], f[1]], [f[0], f[1] - tall - 8]]));
    made["load-head"].setAttribute("d", `M${g[0] - 4} ${g[1]}a4 4 0 1 0 8 0a4 4 0 1 0 -8 0` + path([[f[0], f[1] - tall - 14], [f[0] - 5, f[1] - tall - 4], [f[0] + 5, f[1] - tall - 4]], true));
    const places = [[(x0 + g[0]) / 2, y0 + 17], [g[0] - 24, (y0 + g[1]) / 2 + 4], [(x0 + f[0]) / 2, y0 + 50], [w[0] - 10, w[1] + 12], [f[0] + 14, f[1] - tall / 2 - 8]];
    texts.forEach((text, i) => set(text, { x: places[i][0].toFixed(1), y: places[i][1].toFixed(1) }));
  };
}
