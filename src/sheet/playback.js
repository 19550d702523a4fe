"use strict";
(() => {
  const holder = document.getElementById("playback-data");
  const section = document.getElementById("playback");
  if (!holder || !section) return;
  const data = JSON.parse(holder.textContent);
  const find = (name) => section.querySelector("[data-role=" + name + "]");
  const count = data.kind.length;

  // Unpack: differences back to positions in millimetres.
  const X = new Float64Array(count), Y = new Float64Array(count), Z = new Float64Array(count);
  const line = new Uint32Array(count), feed = new Float64Array(count), diameter = new Float64Array(count);
  const program = new Uint16Array(count);
  const arcs = new Array(count);
  let x = 0, y = 0, z = 0, number = 0, arc = 0, feedAt = 0, bitAt = 0, programAt = -1;
  for (let i = 0; i < count; i++) {
    while (programAt + 1 < data.programs.length && data.programs[programAt + 1].first <= i) {
      programAt++;
      number = 0;
    }
    x += data.x[i]; y += data.y[i]; z += data.z[i]; number += data.line[i];
    X[i] = x / 1000; Y[i] = y / 1000; Z[i] = z / 1000;
    line[i] = number; program[i] = programAt;
    if (data.kind[i] === "a") {
      const [cx, cy, sweep] = data.arcs[arc++];
      arcs[i] = { x: cx / 1000, y: cy / 1000, sweep: sweep / 1e6 };
    }
    while (feedAt + 1 < data.feeds.length && data.feeds[feedAt + 1][0] <= i) feedAt++;
    while (bitAt + 1 < data.bits.length && data.bits[bitAt + 1][0] <= i) bitAt++;
    feed[i] = data.kind[i] === "r" || !data.feeds.length ? data.rapid : data.feeds[feedAt][1];
    diameter[i] = data.bits[bitAt][1] / 1000;
  }
  const texts = data.programs.map((one) => one.text.split("\n").map((row) => row.replace(/\r$/, "")));

  // Kinds are told from the move itself: letter, words, dash pattern.
  const KINDS = {
    rapid: { words: "rapid", dash: [2, 5], ink: "--kind-rapid" },
    down: { words: "straight down", dash: [2, 2], ink: "--kind-down" },
    ramp: { words: "ramp down", dash: [9, 3], ink: "--kind-ramp" },
    level: { words: "level cut", dash: [], ink: "--kind-level" },
    lift: { words: "lift", dash: [1, 4], ink: "--kind-lift" },
  };
  const kindOf = (i) => {
    if (data.kind[i] === "r") return "rapid";
    const dz = i ? Z[i] - Z[i - 1] : 0;
    if (dz > 1e-4) return "lift";
    if (dz < -1e-4) return X[i] === X[i - 1] && Y[i] === Y[i - 1] && !arcs[i] ? "down" : "ramp";
    return "level";
  };
  const start = (i) => (i > 0 ? [X[i - 1], Y[i - 1], Z[i - 1]] : [X[0], Y[0], Z[0]]);
  const pointAt = (i, share) => {
    const [fx, fy, fz] = start(i);
    const pz = fz + (Z[i] - fz) * share;
    const about = arcs[i];
    if (!about) return [fx + (X[i] - fx) * share, fy + (Y[i] - fy) * share, pz];
    const radius = Math.hypot(fx - about.x, fy - about.y);
    const angle = Math.atan2(fy - about.y, fx - about.x) + about.sweep * share;
    return [about.x + radius * Math.cos(angle), about.y + radius * Math.sin(angle), pz];
  };
  const lengthOf = (i) => {
    const [fx, fy, fz] = start(i);
    const about = arcs[i];
    const plan = about ? Math.hypot(fx - about.x, fy - about.y) * Math.abs(about.sweep) : Math.hypot(X[i] - fx, Y[i] - fy);
    return Math.hypot(plan, Z[i] - fz);
  };

  // Depth to colour: every channel falls with depth, so "darken" keeps the deepest.
  const deepest = Math.max(0.1, ...data.parts.flatMap((part) => part.pockets.flatMap((pocket) => pocket.steps.map((step) => step[5]))));
  const LIGHT = [243, 234, 216], SHALLOW = [213, 214, 207], DEEP = [32, 65, 95];
  const LEVELS = 48;
  const colours = Array.from({ length: LEVELS + 1 }, (_, level) =>
    "rgb(" + SHALLOW.map((from, k) => Math.round(from + (DEEP[k] - from) * level / LEVELS)).join(",") + ")");
  const levelOf = (depth) => Math.max(1, Math.min(LEVELS, Math.round(depth / deepest * LEVELS)));
  const topAt = (px, py, radius) => {
    for (const part of data.parts) {
      const [x0, y0, x1, y1] = part.area;
      if (px > x0 - radius && px < x1 + radius && py > y0 - radius && py < y1 + radius) return part.top;
    }
    return null;
  };

  /** The wood seen through one window, as it is after any move. */
  class Wood {
    constructor(canvas, area, scale) {
      this.canvas = canvas;
      this.area = area;
      this.scale = scale;
      this.context = canvas.getContext("2d", { willReadFrequently: false });
      this.every = Math.max(400, Math.ceil(count / 12));
      this.kept = new Map();
      this.blank();
    }
    px(x) { return (x - this.area[0]) * this.scale; }
    py(y) { return (this.area[3] - y) * this.scale; }
    blank() {
      const context = this.context;
      context.globalCompositeOperation = "source-over";
      context.clearRect(0, 0, this.canvas.width, this.canvas.height);
      context.fillStyle = "rgb(" + LIGHT.join(",") + ")";
      for (const part of data.parts) {
        const [x0, y0, x1, y1] = part.area;
        context.fillRect(this.px(x0), this.py(y1), (x1 - x0) * this.scale, (y1 - y0) * this.scale);
      }
      this.done = -1;
    }
    /** Goes as far towards `target` as `until` allows; says whether it is there. */
    seek(target, until) {
      if (target < this.done) {
        let mark = Math.floor((target + 1) / this.every) * this.every - 1;
        while (mark >= 0 && !this.kept.has(mark)) mark -= this.every;
        if (mark >= 0) {
          this.context.globalCompositeOperation = "copy";
          this.context.drawImage(this.kept.get(mark), 0, 0);
          this.done = mark;
        } else {
          this.blank();
        }
      }
      const context = this.context;
      context.save();
      context.beginPath();
      for (const part of data.parts) {
        const [x0, y0, x1, y1] = part.area;
        context.rect(this.px(x0), this.py(y1), (x1 - x0) * this.scale, (y1 - y0) * this.scale);
      }
      context.clip();
      context.globalCompositeOperation = "darken";
      context.lineCap = "round";
      context.lineJoin = "round";
      this.pen = null;
      let i = this.done + 1;
      for (; i <= target; i++) {
        this.cut(i);
        if ((i + 1) % this.every === 0 && !this.kept.has(i)) { this.flush(); this.keep(i); }
        if (i % 64 === 0 && performance.now() > until) { i++; break; }
      }
      this.flush();
      context.restore();
      this.done = Math.max(this.done, i - 1);
      return this.done >= target;
    }
    flush() {
      if (this.pen) this.context.stroke();
      this.pen = null;
    }
    /** One swath of one colour; runs of the same colour are stroked at once. */
    swath(ax, ay, bx, by, level, width) {
      const context = this.context;
      const pen = this.pen;
      if (pen && pen.level === level && pen.width === width) {
        // To and fro on the same line takes nothing more.
        if (pen.seen.has(ax + "," + ay + "," + bx + "," + by)) { pen.x = bx; pen.y = by; pen.gap = true; return; }
        if (pen.gap || pen.x !== ax || pen.y !== ay) context.moveTo(this.px(ax), this.py(ay));
      } else {
        this.flush();
        this.pen = { level, width, seen: new Set() };
        context.lineWidth = width * this.scale;
        context.strokeStyle = colours[level];
        context.beginPath();
        context.moveTo(this.px(ax), this.py(ay));
      }
      context.lineTo(this.px(bx) + 0.001, this.py(by));
      this.pen.x = bx;
      this.pen.y = by;
      this.pen.gap = false;
      this.pen.seen.add(ax + "," + ay + "," + bx + "," + by).add(bx + "," + by + "," + ax + "," + ay);
    }
    keep(i) {
      const copy = document.createElement("canvas");
      copy.width = this.canvas.width;
      copy.height = this.canvas.height;
      copy.getContext("2d").drawImage(this.canvas, 0, 0);
      this.kept.set(i, copy);
    }
    cut(i) {
      const [fx, fy, fz] = start(i);
      const radius = diameter[i] / 2;
      const about = arcs[i];
      const reach = radius + (about ? 2 * Math.hypot(fx - about.x, fy - about.y) : 0);
      const [x0, y0, x1, y1] = this.area;
      if (Math.max(fx, X[i]) + reach < x0 || Math.min(fx, X[i]) - reach > x1) return;
      if (Math.max(fy, Y[i]) + reach < y0 || Math.min(fy, Y[i]) - reach > y1) return;
      const top = topAt(X[i], Y[i], radius);
      if (top === null || Math.min(fz, Z[i]) >= top - 1e-6) return;
      const slope = Math.ceil(Math.abs(Z[i] - fz) / deepest * LEVELS / 2);
      const pieces = Math.max(1, slope, about ? Math.ceil(Math.abs(about.sweep) / 0.25) : 1);
      let [ax, ay] = [fx, fy];
      for (let k = 1; k <= pieces; k++) {
        const [bx, by, bz] = pointAt(i, k / pieces);
        if (bz < top) this.swath(ax, ay, bx, by, levelOf(top - bz), diameter[i]);
        [ax, ay] = [bx, by];
      }
    }
  }

  const styles = getComputedStyle(document.documentElement);
  const ink = (name) => styles.getPropertyValue(name).trim();
  const ratio = Math.min(2, window.devicePixelRatio || 1);

  /** One picture: wood below, path and bit above. */
  class Picture {
    constructor(canvas) {
      this.canvas = canvas;
      this.wood = null;
      this.key = "";
    }
    frame(area, key) {
      const width = Math.max(200, Math.round(this.canvas.clientWidth * ratio));
      const scale = width / (area[2] - area[0]);
      const height = Math.round((area[3] - area[1]) * scale);
      const name = key + "/" + width;
      if (name === this.key) return;
      this.key = name;
      this.canvas.width = width;
      this.canvas.height = height;
      const hidden = document.createElement("canvas");
      hidden.width = width;
      hidden.height = height;
      this.wood = new Wood(hidden, area, scale);
    }
    draw(i, share, until) {
      const wood = this.wood;
      const there = wood.seek(share < 1 ? i - 1 : i, until);
      const context = this.canvas.getContext("2d");
      context.clearRect(0, 0, this.canvas.width, this.canvas.height);
      context.drawImage(wood.canvas, 0, 0);
      this.outlines(context);
      if (this.key.startsWith("far")) this.names(context);
      this.trail(context, i, share);
      this.bit(context, i, share);
      return there;
    }
    outlines(context) {
      const wood = this.wood;
      context.lineWidth = ratio;
      context.setLineDash([]);
      context.strokeStyle = "#15191d";
      for (const part of data.parts) {
        const [x0, y0, x1, y1] = part.area;
        context.strokeRect(wood.px(x0), wood.py(y1), (x1 - x0) * wood.scale, (y1 - y0) * wood.scale);
        for (const pocket of part.pockets) {
          for (const [cx, cy, length, width, corner] of pocket.steps) {
            context.beginPath();
            context.roundRect(wood.px(cx - length / 2), wood.py(cy + width / 2), length * wood.scale, width * wood.scale, corner * wood.scale);
            context.stroke();
          }
        }
      }
      context.fillStyle = "#c9ced3";
      for (const clamp of [...data.solids, ...data.clamps]) {
        const [x0, y0, x1, y1] = clamp.area;
        context.fillRect(wood.px(x0), wood.py(y1), (x1 - x0) * wood.scale, (y1 - y0) * wood.scale);
        context.strokeRect(wood.px(x0), wood.py(y1), (x1 - x0) * wood.scale, (y1 - y0) * wood.scale);
      }
    }
    /** What lies where, in words: for the picture of the whole fixture. */
    names(context) {
      const wood = this.wood;
      const size = 13 * ratio;
      context.font = "600 " + size + "px system-ui, sans-serif";
      context.textAlign = "center";
      context.textBaseline = "middle";
      context.lineJoin = "round";
      const word = (text, x, y) => {
        const half = context.measureText(text).width / 2 + 4 * ratio;
        x = Math.max(half, Math.min(this.canvas.width - half, x));
        y = Math.max(size, Math.min(this.canvas.height - size, y));
        context.lineWidth = 4 * ratio;
        context.strokeStyle = "#ffffff";
        context.strokeText(text, x, y);
        context.fillStyle = "#15191d";
        context.fillText(text, x, y);
      };
      for (const part of data.parts) {
        const [x0, y0, x1, y1] = part.area;
        const inner = Math.abs(y1) > Math.abs(y0) ? y1 : y0;
        const edge = Math.max(wood.area[1], Math.min(wood.area[3], inner));
        word(part.name.toUpperCase(), wood.px((x0 + x1) / 2), wood.py(edge) + (inner === y1 ? size : -size));
      }
      for (const block of [...data.solids, ...data.clamps]) {
        const [x0, y0, x1, y1] = block.area;
        const seen = y1 > wood.area[1] && y0 < wood.area[3];
        if (seen) word(block.name, wood.px((x0 + x1) / 2), wood.py((y0 + y1) / 2));
      }
      for (const zero of data.zeros) {
        const [x, y] = [wood.px(zero.at[0]), wood.py(zero.at[1])];
        context.beginPath();
        context.arc(x, y, 5 * ratio, 0, 7);
        context.fillStyle = "#15191d";
        context.fill();
        word(zero.name, x, y - size);
      }
    }
    /** The last moves: one stroke for each kind, the present move once more and thicker. */
    trail(context, i, share) {
      const first = Math.max(1, i - 300);
      const all = new Path2D(), kinds = new Map();
      for (let k = first; k < i; k++) {
        const name = kindOf(k);
        if (!kinds.has(name)) kinds.set(name, new Path2D());
        this.path(all, k, 1, k === first);
        this.path(kinds.get(name), k, 1, k === first || kindOf(k - 1) !== name);
      }
      const now = new Path2D();
      if (i > 0) this.path(now, i, share, true);
      context.setLineDash([]);
      context.strokeStyle = "#ffffff";
      context.lineWidth = 3 * ratio;
      context.stroke(all);
      context.lineWidth = 5 * ratio;
      context.stroke(now);
      for (const [name, path] of kinds) this.stroke(context, path, name, 1.5);
      if (i > 0) this.stroke(context, now, kindOf(i), 3);
      context.setLineDash([]);
    }
    stroke(context, path, name, width) {
      const kind = KINDS[name];
      context.setLineDash(kind.dash.map((dash) => dash * ratio));
      context.lineWidth = width * ratio;
      context.strokeStyle = ink(kind.ink);
      context.stroke(path);
    }
    path(path, k, until, begins) {
      const wood = this.wood;
      const pieces = arcs[k] ? Math.max(2, Math.ceil(Math.abs(arcs[k].sweep) / 0.15)) : 1;
      const [fx, fy] = start(k);
      if (begins) path.moveTo(wood.px(fx), wood.py(fy));
      for (let piece = 1; piece <= pieces; piece++) {
        const [bx, by] = pointAt(k, (piece / pieces) * until);
        path.lineTo(wood.px(bx), wood.py(by));
      }
    }
    bit(context, i, share) {
      const wood = this.wood;
      const [bx, by, bz] = pointAt(i, share);
      const radius = Math.max(3 * ratio, (diameter[i] / 2) * wood.scale);
      const top = topAt(bx, by, diameter[i]);
      const cutting = top !== null && bz < top;
      context.beginPath();
      context.arc(wood.px(bx), wood.py(by), radius, 0, 7);
      context.fillStyle = cutting ? "rgba(255,255,255,0.25)" : "rgba(255,255,255,0.65)";
      context.fill();
      context.lineWidth = 4 * ratio;
      context.strokeStyle = "#ffffff";
      context.stroke();
      context.lineWidth = 2 * ratio;
      context.strokeStyle = "#000000";
      context.stroke();
      context.beginPath();
      context.moveTo(wood.px(bx) - radius / 2, wood.py(by));
      context.lineTo(wood.px(bx) + radius / 2, wood.py(by));
      context.moveTo(wood.px(bx), wood.py(by) - radius / 2);
      context.lineTo(wood.px(bx), wood.py(by) + radius / 2);
      context.stroke();
    }
  }

  // The whole fixture, and the pocket the bit is at.
  const all = data.parts.reduce((box, part) => [
    Math.min(box[0], part.area[0]), Math.min(box[1], part.area[1]),
    Math.max(box[2], part.area[2]), Math.max(box[3], part.area[3]),
  ], [Infinity, Infinity, -Infinity, -Infinity]);
  const pockets = data.parts.flatMap((part) => part.pockets.map((pocket) => ({ ...pocket, part })));
  // Far from the pockets nothing happens: the picture need not show a whole lid.
  const busy = pockets.reduce((box, pocket) => {
    const [cx, cy, length, width] = pocket.steps[0];
    return [Math.min(box[0], cx - length), Math.min(box[1], cy - 3 * width), Math.max(box[2], cx + length), Math.max(box[3], cy + 3 * width)];
  }, [Infinity, Infinity, -Infinity, -Infinity]);
  const margin = 6;
  const wide = [all[0] - margin, Math.max(all[1] - margin, busy[1]), all[2] + margin, Math.min(all[3] + margin, busy[3])];
  const near = (px, py) => {
    let best = 0, least = Infinity;
    pockets.forEach((pocket, index) => {
      const away = Math.hypot(pocket.center[0] - px, pocket.center[1] - py);
      if (away < least) { least = away; best = index; }
    });
    return best;
  };
  const closeArea = (index) => {
    const [cx, cy, length, width] = pockets[index].steps[0];
    const half = Math.max(length, width) / 2 + 8, narrow = window.innerWidth < 700;
    const high = Math.max(width / 2 + 6, half * (narrow ? 0.8 : 0.42));
    return [cx - half, cy - high, cx + half, cy + high];
  };

  const far = new Picture(find("far"));
  const close = new Picture(find("close"));
  const gauge = find("gauge");
  const slider = find("slider");
  const play = find("play");
  const pace = find("pace");
  slider.max = String(count - 1);
  section.hidden = false;
  document.querySelectorAll("[data-needs-script]").forEach((link) => { link.hidden = false; });

  // The bit from the side, beside the depths of the pocket's steps.
  const highest = Z.reduce((most, level) => Math.max(most, level), 5);
  const drawGauge = (i, share) => {
    const width = Math.round(gauge.clientWidth * ratio), height = Math.round(gauge.clientHeight * ratio);
    if (gauge.width !== width || gauge.height !== height) { gauge.width = width; gauge.height = height; }
    const context = gauge.getContext("2d");
    context.clearRect(0, 0, width, height);
    const [bx, by, bz] = pointAt(i, share);
    const pocket = pockets[near(bx, by)];
    const high = Math.min(highest, deepest * 2.5), low = -deepest * 1.25;
    const py = (level) => 14 * ratio + (height - 20 * ratio) * (high - Math.min(high, level)) / (high - low);
    const scale = (height - 20 * ratio) / (high - low);
    context.fillStyle = "rgb(" + LIGHT.join(",") + ")";
    context.fillRect(0, py(pocket.part.top), width, height);
    context.font = 12 * ratio + "px system-ui, sans-serif";
    context.lineWidth = ratio;
    for (const level of [0, ...pocket.steps.map((step) => step[5])]) {
      const at = py(pocket.part.top - level);
      context.strokeStyle = "#15191d";
      context.setLineDash(level ? [4 * ratio, 3 * ratio] : []);
      context.beginPath(); context.moveTo(0, at); context.lineTo(width, at); context.stroke();
      context.fillStyle = "#15191d";
      if (level) context.fillText("−" + (level / data.unit_mm).toFixed(data.decimals - 1), 3 * ratio, at - 3 * ratio);
    }
    context.setLineDash([]);
    const half = Math.min(width * 0.22, diameter[i] * scale / 2);
    const middle = width * 0.68;
    context.fillStyle = "rgba(90,100,110,0.55)";
    context.fillRect(middle - half, 0, half * 2, py(bz));
    context.strokeStyle = "#15191d";
    context.lineWidth = 2 * ratio;
    context.strokeRect(middle - half, -4, half * 2, py(bz) + 4);
  };

  let at = 0, share = 1, wanted = false;
  const format = (value) => (value / data.unit_mm).toFixed(data.decimals);
  const show = () => {
    wanted = false;
    const [bx, by, bz] = pointAt(at, share);
    far.frame(wide, "far");
    const index = near(bx, by);
    close.frame(closeArea(index), "close" + index);
    // A long way is drawn over several frames: the slider never waits.
    const until = performance.now() + 14;
    const closeThere = close.draw(at, share, until);
    const farThere = far.draw(at, share, until + 8);
    if (!closeThere || !farThere) ask();
    drawGauge(at, share);
    slider.value = String(at);
    const kind = KINDS[kindOf(at)].words;
    const text = texts[program[at]][line[at] - 1] || "";
    find("line").textContent = text;
    find("where").textContent = data.programs[program[at]].name + ", line " + line[at] + " of " + texts[program[at]].length;
    find("kind").textContent = kind + (data.kind[at] === "r" ? "" : ", " + (feed[at] / data.unit_mm).toFixed(data.unit === "mm" ? 0 : 1) + " " + data.unit + "/min");
    find("place").textContent = "X " + format(bx) + "  Y " + format(by) + "  Z " + format(bz) + " " + data.unit;
    find("name").textContent = pockets[index].name;
    slider.setAttribute("aria-valuetext", "move " + (at + 1) + " of " + count + ", " + kind + ", " + text);
  };
  const ask = () => { if (!wanted) { wanted = true; requestAnimationFrame(show); } };
  const go = (target) => {
    at = Math.max(0, Math.min(count - 1, target));
    share = 1;
    ask();
  };

  let running = false, last = 0;
  const stop = () => { running = false; play.textContent = "Play"; play.setAttribute("aria-pressed", "false"); };
  const tick = (now) => {
    if (!running) return;
    let left = Math.min(100, now - last) / 60000 * Number(pace.value);
    last = now;
    while (left > 0) {
      const whole = Math.max(1e-9, lengthOf(at) / Math.max(1, feed[at]));
      const rest = whole * (1 - share);
      if (left < rest) { share += left / whole; left = 0; }
      else if (at < count - 1) { left -= rest; at++; share = 0; }
      else { share = 1; stop(); left = 0; }
    }
    show();
    if (running) requestAnimationFrame(tick);
  };
  const toggle = () => {
    if (running) { stop(); return; }
    if (at === count - 1 && share === 1) { at = 0; share = 0; }
    running = true;
    play.textContent = "Pause";
    play.setAttribute("aria-pressed", "true");
    last = performance.now();
    requestAnimationFrame(tick);
  };
  play.addEventListener("click", toggle);
  slider.addEventListener("input", () => { stop(); go(Number(slider.value)); });
  section.addEventListener("keydown", (event) => {
    if (event.altKey || event.ctrlKey || event.metaKey || event.target === pace) return;
    const onSlider = event.target === slider;
    const far = event.shiftKey ? 50 : 1;
    if (event.key === " " && event.target !== play) { event.preventDefault(); toggle(); }
    else if (event.key === "ArrowRight" && (!onSlider || event.shiftKey)) { event.preventDefault(); stop(); go(at + far); }
    else if (event.key === "ArrowLeft" && (!onSlider || event.shiftKey)) { event.preventDefault(); stop(); go(at - far); }
    else if (event.key === "Home" && !onSlider) { event.preventDefault(); stop(); go(0); }
    else if (event.key === "End" && !onSlider) { event.preventDefault(); stop(); go(count - 1); }
  });
  window.addEventListener("resize", ask);
  window.matchMedia("(prefers-color-scheme: dark)").addEventListener("change", ask);

  // The legend: the same lines as in the picture.
  for (const name of Object.keys(KINDS)) {
    const { words, dash, ink: variable } = KINDS[name];
    const item = document.createElement("li");
    const sample = document.createElement("span");
    sample.className = "stroke";
    sample.innerHTML = '<svg viewBox="0 0 44 10" width="44" height="10" aria-hidden="true"><path d="M2 5H42"/></svg>';
    const path = sample.querySelector("path");
    path.style.stroke = "var(" + variable + ")";
    path.style.strokeDasharray = dash.join(" ");
    item.append(sample, document.createTextNode(" " + words));
    find("legend").append(item);
  }
  go(count - 1);
})();
