// Plays how a pattern is written, while PlayerReading.js still reads the rest of it. Four steps a frame: the time moves on (play), strokes that
// are new are painted into a bitmap (paint), the bitmap is laid under axes and beam (draw), the beam's record is told in words (tell). A new view
// shows the old bitmap, moved, until the new one is painted in slices of a few milliseconds: however many strokes there are, a frame stays
// short. Lengths are nanometres, times seconds.
(() => {
  "use strict";
  const part = id => document.getElementById("player-" + id);
  const facts = JSON.parse(part("facts-data").textContent);
  const JUMP = 0, DOT = 1, LINE = 2, WAIT = 3, MARKER = 4, TRIGGER = 5;
  const KINDS = ["jump, beam off", "dot, beam on", "line, beam on", "wait, beam off", "start of a figure", "wait for the trigger, beam off"];

  const reading = playerReading(facts, part("data").textContent), work = reading.read();
  const { has, RUN, count, figures, parts, kind, figureOf, points, partOf, X0, Y0, X1, Y1, begin, end, stallBefore } = reading;
  const { figureLayer, figureDose, figurePlace, firstCorner, cornerX, cornerY, rings, boxes, extent, figuresAround, runsWithin } = reading;
  function codesOf(i, x, y) {
    const here = parts[partOf[i]], dx = x - here.originX, dy = y - here.originY;
    return here.swapped ? [Math.round(dy / here.stepX), Math.round(dx / here.stepY)] : [Math.round(dx / here.stepX), Math.round(dy / here.stepY)];
  }
  // Records without markers: the figure is the one that lies around the middle of the stroke, asked for when it is needed.
  const figureAround = (x, y, reach) => figuresAround(x, y).find(f => !hidden[figureLayer[f]] && isInside(f, x, y, reach)) ?? -1;
  const UNKNOWN = -2;
  let looked = null;
  function figureAt(i) {
    if (has.isMarked || figures === 0) return figureOf[i];
    looked ??= new Int32Array(count).fill(UNKNOWN);
    if (looked[i] === UNKNOWN) {
      const x = (X0[i] + X1[i]) / 2, y = (Y0[i] + Y1[i]) / 2;
      looked[i] = figuresAround(x, y).find(f => isInside(f, x, y, 1)) ?? -1;
    }
    return looked[i];
  }

  // ---- view -----------------------------------------------------------------------------------------------------------------------------
  const canvas = part("canvas"), screen = canvas.getContext("2d");
  const plot = { left: 62, top: 10, width: 1, height: 1, right: 10, bottom: 46 };
  const view = { x: 0, y: 0, scale: 1 };
  const show = { figures: true, strokes: true, jumps: true, print: true, messages: true };
  const hidden = new Uint8Array(facts.layers.length);
  let isHidden = () => false, colours = {}, density = 1;
  const toX = (x, v = view) => plot.width / 2 + (x - v.x) * v.scale, toY = (y, v = view) => plot.height / 2 - (y - v.y) * v.scale;
  const windowOf = (v, margin = 0) => {
    const w = (plot.width / 2 + margin) / v.scale, h = (plot.height / 2 + margin) / v.scale;
    return [v.x - w, v.y - h, v.x + w, v.y + h];
  };
  function showAll() {
    const [left, bottom, right, top] = extent;
    view.x = (left + right) / 2;
    view.y = (bottom + top) / 2;
    view.scale = Math.min(0.94 * plot.width / Math.max(right - left, 1), 0.94 * plot.height / Math.max(top - bottom, 1));
    ask();
  }
  function zoom(factor, atX = plot.width / 2, atY = plot.height / 2) {
    const x = view.x + (atX - plot.width / 2) / view.scale, y = view.y - (atY - plot.height / 2) / view.scale;
    view.scale = Math.min(50, Math.max(1e-7, view.scale * factor));
    view.x = x - (atX - plot.width / 2) / view.scale;
    view.y = y + (atY - plot.height / 2) / view.scale;
    ask();
  }
  function move(dx, dy) {
    view.x -= dx / view.scale;
    view.y += dy / view.scale;
    ask();
  }
  function centre(x, y, widest) {
    view.x = x;
    view.y = y;
    if (widest) view.scale = Math.max(view.scale, plot.width / widest);
    ask();
  }
  function resize() {
    density = Math.min(2, devicePixelRatio || 1);
    canvas.width = Math.round(canvas.clientWidth * density);
    canvas.height = Math.round(canvas.clientHeight * density);
    plot.left = canvas.clientWidth < 500 ? 54 : 62;
    plot.width = Math.max(50, canvas.clientWidth - plot.left - plot.right);
    plot.height = Math.max(50, canvas.clientHeight - plot.top - plot.bottom);
    repaint();
  }
  function readColours() {
    const style = getComputedStyle(part("canvas"));
    for (const name of ["paper", "ink", "faint", "figure", "plan", "done", "jump", "print", "beam"]) colours[name] = style.getPropertyValue("--view-" + name).trim();
    repaint();
  }

  // ---- paint: what lies still, in slices ---------------------------------------------------------------------------------------------------
  const SINGLY = 12000, JUMPS_SINGLY = 1500, SLICE = 8;
  let shown = null, coming = null, isStale = true;
  const bitmapOf = (width, height) => Object.assign(document.createElement("canvas"), { width, height });
  function repaint() { isStale = true; coming = null; ask(); }
  function rampOf(colour, faintest) {
    const [r, g, b] = [1, 3, 5].map(i => parseInt(colour.slice(i, i + 2), 16));
    return Uint32Array.from({ length: 9 }, (_, n) => (Math.round(255 * Math.min(1, faintest + (1 - faintest) * n / 8)) << 24 | b << 16 | g << 8 | r) >>> 0);
  }
  // Until all is read, every record might lie in view.
  const isDenseIn = v => (has.isWhole ? runsWithin(boxes.beam, windowOf(v, 20)).length * RUN : count) > SINGLY;
  function bitmap() {
    const v = { ...view }, isDense = isDenseIn(v), sharp = isDense ? 1 : density;
    const made = { view: v, width: plot.width, height: plot.height, isDense, doneTo: 0, isOfAll: has.isWhole, under: bitmapOf(plot.width * density, plot.height * density), ink: bitmapOf(plot.width * sharp, plot.height * sharp) };
    made.underContext = made.under.getContext("2d");
    made.underContext.scale(density, density);
    made.inkContext = made.ink.getContext("2d", { willReadFrequently: isDense });
    if (isDense) {
      made.image = made.inkContext.createImageData(made.ink.width, made.ink.height);
      made.pixels = new Uint32Array(made.image.data.buffer);
      made.counts = [new Uint8Array(made.pixels.length), new Uint8Array(made.pixels.length)];
      made.ramps = [rampOf(colours.plan, 0.3), rampOf(colours.done, 0.55)];
    } else {
      made.inkContext.scale(sharp, sharp);
      made.inkContext.lineCap = "round";
    }
    return made;
  }
  function* paint(made) {
    if (show.figures) yield* paintFigures(made);
    if (show.print) paintPrint(made);
    if (show.jumps && has.isWhole) drawJumps(made.underContext, jumpsIn(made.view), made.view, 1);
    yield* paintStrokes(made, written(), has.records, 0);
  }
  function* paintFigures({ underContext: to, view: v }) {
    const [left, bottom, right, top] = windowOf(v, 2);
    to.fillStyle = colours.figure;
    to.strokeStyle = colours.faint;
    to.lineWidth = 0.8;
    for (let f = 0; f < has.figures; f++) {
      if (f % 512 === 511) yield;
      const from = firstCorner[f], corners = firstCorner[f + 1] - from;
      const order = corners === 4 ? [0, 1, 3, 2] : corners === 2 ? [0, 1] : [0];
      let x0 = Infinity, y0 = Infinity, x1 = -Infinity, y1 = -Infinity;
      for (const c of order) {
        x0 = Math.min(x0, cornerX[from + c]); x1 = Math.max(x1, cornerX[from + c]);
        y0 = Math.min(y0, cornerY[from + c]); y1 = Math.max(y1, cornerY[from + c]);
      }
      if (x1 < left || x0 > right || y1 < bottom || y0 > top || hidden[figureLayer[f]]) continue;
      const w = (x1 - x0) * v.scale, h = (y1 - y0) * v.scale;
      if (w < 2 && h < 2) {
        to.fillRect(toX(x0, v), toY(y1, v), Math.max(w, 0.7), Math.max(h, 0.7));
        continue;
      }
      to.beginPath();
      for (const c of order) to.lineTo(toX(cornerX[from + c], v), toY(cornerY[from + c], v));
      if (corners === 4) { to.closePath(); to.fill(); }
      if (corners < 4 || w > 6 && h > 6) to.stroke();
    }
  }
  function paintPrint({ underContext: to, view: v }) {
    to.strokeStyle = colours.print;
    to.lineWidth = 2;
    to.setLineDash([2, 3]);
    to.beginPath();
    for (const ring of rings) {
      for (let i = 0; i < ring.length; i += 2) to[i ? "lineTo" : "moveTo"](toX(ring[i], v), toY(ring[i + 1], v));
      to.closePath();
    }
    to.stroke();
    if (facts.printWindow.length) {
      const [left, bottom, right, top] = facts.printWindow;
      to.setLineDash([]);
      to.lineWidth = 1;
      to.strokeRect(toX(left, v), toY(top, v), (right - left) * v.scale, (top - bottom) * v.scale);
      if ((right - left) * v.scale > 150) label(to, "predicted here", toX(left, v) + 4, toY(top, v) + 14, colours.print);
    }
    to.setLineDash([]);
  }
  function jumpsIn(v) {
    const [left, bottom, right, top] = windowOf(v), found = [];
    for (const r of runsWithin(boxes.jumps, [left, bottom, right, top])) {
      for (let i = Math.max(1, r * RUN); i < Math.min(count, (r + 1) * RUN) && found.length <= JUMPS_SINGLY; i++) {
        if (kind[i] === JUMP && !isHidden(i) && Math.max(X0[i], X1[i - 1]) >= left && Math.min(X0[i], X1[i - 1]) <= right && Math.max(Y0[i], Y1[i - 1]) >= bottom && Math.min(Y0[i], Y1[i - 1]) <= top) found.push(i);
      }
      if (found.length > JUMPS_SINGLY) return [];
    }
    return found;
  }
  function drawJumps(to, which, v, width) {
    for (const [colour, wide, dash] of [[colours.paper, width + 2, []], [colours.jump, width, [5, 4]]]) {
      to.strokeStyle = colour;
      to.lineWidth = wide;
      to.setLineDash(dash);
      to.beginPath();
      for (const i of which) {
        if (i < 1) continue;
        to.moveTo(toX(X1[i - 1], v), toY(Y1[i - 1], v));
        to.lineTo(toX(X0[i], v), toY(Y0[i], v));
      }
      to.stroke();
    }
    to.setLineDash([]);
  }
  // Records from … to …, as planned (0) or as written (1).
  function* paintStrokes(made, from, to, state) {
    let drawn = 0;
    if (!made.isDense) Object.assign(made.inkContext, { strokeStyle: state ? colours.done : colours.plan, fillStyle: state ? colours.done : colours.plan });
    for (const r of show.strokes ? runsWithin(boxes.beam, windowOf(made.view, 20), Math.floor(from / RUN), Math.ceil(to / RUN)) : []) {
      const first = Math.max(from, r * RUN), last = Math.min(to, (r + 1) * RUN);
      if (made.isDense) for (let i = first; i < last; i++) { if (kind[i] === DOT || kind[i] === LINE) dense(made, i, state); }
      else single(made, first, last);
      if (++drawn % 4 === 0) yield;
    }
    if (made.isDense) made.inkContext.putImageData(made.image, 0, 0);
  }
  function dense({ view: v, width, height, pixels, counts, ramps, ink }, i, state) {
    if (isHidden(i)) return;
    const x0 = toX(X0[i], v), y0 = toY(Y0[i], v), dx = toX(X1[i], v) - x0, dy = toY(Y1[i], v) - y0;
    let low = 0, high = 1;
    for (let axis = 0; axis < 2; axis++) {
      const start = axis ? y0 : x0, along = axis ? dy : dx, most = (axis ? ink.height : ink.width) - 0.01;
      if (Math.abs(along) < 1e-9) { if (start < 0 || start > most) return; continue; }
      const a = -start / along, b = (most - start) / along;
      low = Math.max(low, Math.min(a, b));
      high = Math.min(high, Math.max(a, b));
    }
    if (low > high) return;
    const steps = Math.ceil(Math.max(Math.abs(dx), Math.abs(dy)) * (high - low)), seen = counts[state], ramp = ramps[state];
    const stepX = steps ? dx * (high - low) / steps : 0, stepY = steps ? dy * (high - low) / steps : 0;
    for (let s = 0, x = x0 + dx * low, y = y0 + dy * low; s <= steps; s++, x += stepX, y += stepY) {
      const k = (y | 0) * ink.width + (x | 0);
      if (seen[k] < 8) pixels[k] = ramp[++seen[k]];
    }
  }
  function single({ inkContext: to, view: v }, first, last) {
    const spot = (facts.spotNanometres ?? 0) * v.scale, radius = Math.max(1.6, Math.min(spot / 2, 30));
    to.lineWidth = Math.max(1.2, Math.min(spot / 3, 6));
    to.beginPath();
    for (let i = first; i < last; i++) {
      if (kind[i] !== LINE || isHidden(i)) continue;
      to.moveTo(toX(X0[i], v), toY(Y0[i], v));
      to.lineTo(toX(X1[i], v), toY(Y1[i], v));
    }
    to.stroke();
    to.beginPath();
    for (let i = first; i < last; i++) {
      if (kind[i] !== DOT && kind[i] !== LINE || isHidden(i)) continue;
      const n = points[i], stepX = n > 1 ? (X1[i] - X0[i]) / (n - 1) : 0, stepY = n > 1 ? (Y1[i] - Y0[i]) / (n - 1) : 0;
      const spacing = Math.hypot(stepX, stepY) * v.scale;
      if (n > 1 && spacing < 3 * radius) continue;
      for (let p = 0; p < n; p++) {
        const x = toX(X0[i] + p * stepX, v), y = toY(Y0[i] + p * stepY, v);
        if (x < -40 || y < -40 || x > plot.width + 40 || y > plot.height + 40) continue;
        to.moveTo(x + radius, y);
        to.arc(x, y, radius, 0, 7);
      }
    }
    to.fill();
  }
  // Goes on painting for a slice of time; true while there is more to do.
  function paintSome(until) {
    const isMoved = !shown || isStale || shown.view.x !== view.x || shown.view.y !== view.y || shown.view.scale !== view.scale;
    if (!coming && isMoved) {
      isStale = false;
      coming = bitmap();
      coming.work = paint(coming);
    }
    const made = coming ?? shown;
    if (made === shown && !shown.work && shown.doneTo > written()) {
      coming = bitmap();
      coming.work = paint(coming);
      return paintSome(until);
    }
    for (;;) {
      if (made.work) {
        if (!made.work.next().done) { if (performance.now() > until) return true; continue; }
        made.work = null;
      }
      const to = written();
      if (made.doneTo >= to) break;
      made.work = paintStrokes(made, made.doneTo, to, 1);
      made.doneTo = to;
    }
    if (coming) { shown = coming; coming = null; return true; }
    return false;
  }

  // ---- draw: bitmap, axes, beam -------------------------------------------------------------------------------------------------------------
  const niceStep = least => {
    const power = 10 ** Math.floor(Math.log10(least));
    return power * [1, 2, 5, 10].find(n => n * power >= least * 0.999999);
  };
  const plain = (value, digits = 4) => Number(value.toPrecision(digits)).toLocaleString("en", { maximumFractionDigits: 9, useGrouping: false }).replace("-", "−");
  function quantity(value, unit, digits = 4) {
    if (value === 0) return `0 ${unit}`;
    const power = Math.max(-6, Math.min(3, Math.floor(Math.log10(Math.abs(value)) / 3 + 1e-9)));
    return `${plain(value / 1000 ** power, digits)} ${["a", "f", "p", "n", "µ", "m", "", "k", "M", "G"][power + 6]}${unit}`;
  }
  const clock = seconds => seconds < 60 ? quantity(seconds, "s", 6) : `${Math.floor(seconds / 60)} min ${plain(seconds % 60, 4)} s`;
  const length = nanometres => Math.abs(nanometres) >= 1000 ? `${plain(nanometres / 1000, 6)} µm` : `${plain(nanometres, 6)} nm`;
  function label(to, text, x, y, colour, align = "left") {
    to.font = "13px system-ui, sans-serif";
    to.textAlign = align;
    to.lineJoin = "round";
    to.lineWidth = 4;
    to.strokeStyle = colours.paper;
    to.strokeText(text, x, y);
    to.fillStyle = colour;
    to.fillText(text, x, y);
  }
  function draw() {
    screen.setTransform(density, 0, 0, density, 0, 0);
    screen.fillStyle = colours.paper;
    screen.fillRect(0, 0, canvas.clientWidth, canvas.clientHeight);
    screen.save();
    screen.beginPath();
    screen.rect(plot.left, plot.top, plot.width, plot.height);
    screen.clip();
    screen.translate(plot.left, plot.top);
    if (shown) {
      const factor = view.scale / shown.view.scale, x = toX(shown.view.x) - shown.width / 2 * factor, y = toY(shown.view.y) - shown.height / 2 * factor;
      for (const layer of [shown.under, shown.ink]) screen.drawImage(layer, x, y, shown.width * factor, shown.height * factor);
    }
    drawBeam();
    if (show.messages) facts.messages.forEach(drawMessage);
    if (picked) drawPicked();
    drawScaleBar();
    screen.restore();
    drawAxes();
    canvas.dataset.view = [view.x, view.y, view.scale, plot.left + plot.width / 2, plot.top + plot.height / 2].join(" ");
  }
  function drawAxes() {
    screen.strokeStyle = colours.faint;
    screen.lineWidth = 1;
    screen.strokeRect(plot.left - 0.5, plot.top - 0.5, plot.width + 1, plot.height + 1);
    const step = niceStep(55 / view.scale), inNanometres = step < 10, unit = inNanometres ? 1 : 1000;
    const text = value => plain(Math.round(value / step) * step / unit, 9);
    const [left, bottom, right, top] = windowOf(view);
    screen.font = "12px system-ui, sans-serif";
    screen.fillStyle = colours.ink;
    screen.textAlign = "center";
    screen.beginPath();
    for (let x = Math.ceil(left / step) * step; x <= right; x += step) {
      const at = plot.left + toX(x);
      screen.moveTo(at, plot.top + plot.height);
      screen.lineTo(at, plot.top + plot.height + 5);
      if (at > plot.left + 14 && at < plot.left + plot.width - 14) screen.fillText(text(x), at, plot.top + plot.height + 18);
    }
    screen.textAlign = "right";
    for (let y = Math.ceil(bottom / step) * step; y <= top; y += step) {
      const at = plot.top + toY(y);
      screen.moveTo(plot.left, at);
      screen.lineTo(plot.left - 5, at);
      if (at > plot.top + 6) screen.fillText(text(y), plot.left - 8, at + 4);
    }
    screen.stroke();
    screen.textAlign = "center";
    screen.fillText(`x / ${inNanometres ? "nm" : "µm"}`, plot.left + plot.width / 2, plot.top + plot.height + 38);
    screen.save();
    screen.translate(13, plot.top + plot.height / 2);
    screen.rotate(-Math.PI / 2);
    screen.fillText(`y / ${inNanometres ? "nm" : "µm"}`, 0, 0);
    screen.restore();
  }
  function drawScaleBar() {
    let bar = niceStep(Math.min(140, plot.width / 4) / view.scale);
    if (bar * view.scale > plot.width / 2) bar /= 2;
    const wide = bar * view.scale, x = 14, y = plot.height - 16;
    for (const [colour, width] of [[colours.paper, 7], [colours.ink, 3]]) {
      screen.strokeStyle = colour;
      screen.lineWidth = width;
      screen.beginPath();
      screen.moveTo(x, y);
      screen.lineTo(x + wide, y);
      screen.stroke();
    }
    label(screen, length(bar), x, y - 9, colours.ink);
  }
  function beamAt() {
    const i = now.record, k = kind[i], f = now.part;
    if (k === LINE) {
      const p = points[i] > 1 ? Math.min(points[i] - 1, Math.floor(f * points[i])) / (points[i] - 1) : 0;
      return [X0[i] + (X1[i] - X0[i]) * p, Y0[i] + (Y1[i] - Y0[i]) * p];
    }
    return [X1[i], Y1[i]];
  }
  function drawBeam() {
    if (!count || !has.isWhole) return;
    const i = now.record, [x, y] = beamAt(), sx = toX(x), sy = toY(y), isOn = !now.waits && (kind[i] === DOT || kind[i] === LINE);
    if (show.jumps) {
      const recent = [];
      for (let j = i; j > 0 && j > i - 400 && recent.length < 12; j--) if (kind[j] === JUMP && !isHidden(j)) recent.push(j);
      drawJumps(screen, recent, view, 2);
    }
    if (kind[i] === LINE && show.strokes) {
      screen.strokeStyle = colours.done;
      screen.lineWidth = 3;
      screen.beginPath();
      screen.moveTo(toX(X0[i]), toY(Y0[i]));
      screen.lineTo(sx, sy);
      screen.stroke();
    }
    if (x !== x) return;
    for (const [colour, width] of [[colours.paper, 6], [colours.beam, 2.5]]) {
      screen.strokeStyle = screen.fillStyle = colour;
      screen.lineWidth = width;
      screen.beginPath();
      screen.arc(sx, sy, 7, 0, 7);
      if (isOn && colour === colours.beam) screen.fill();
      for (const [dx, dy] of [[1, 0], [-1, 0], [0, 1], [0, -1]]) {
        screen.moveTo(sx + 10 * dx, sy + 10 * dy);
        screen.lineTo(sx + 16 * dx, sy + 16 * dy);
      }
      screen.stroke();
    }
    const waits = now.waits ? `waits for ${now.waits}` : kind[i] === WAIT ? "waits" : kind[i] === TRIGGER ? "waits for the trigger" : kind[i] === JUMP && now.part < 1 ? "settles" : "";
    if (waits) {
      screen.strokeStyle = colours.jump;
      screen.lineWidth = 4;
      screen.beginPath();
      screen.arc(sx, sy, 20, -Math.PI / 2, -Math.PI / 2 + 2 * Math.PI * Math.max(0.02, now.part));
      screen.stroke();
      label(screen, waits, sx + (sx > plot.width - 170 ? -26 : 26), Math.max(16, sy - 18), colours.ink, sx > plot.width - 170 ? "right" : "left");
    }
  }
  function drawMessage({ x, y, isWarning }) {
    const sx = toX(x), sy = toY(y);
    screen.beginPath();
    screen.moveTo(sx, sy);
    screen.lineTo(sx - 6, sy - 12);
    screen.lineTo(sx + 6, sy - 12);
    screen.closePath();
    screen.lineWidth = 2;
    screen.strokeStyle = isWarning ? colours.jump : colours.faint;
    screen.fillStyle = isWarning ? colours.jump : colours.paper;
    screen.fill();
    screen.stroke();
  }
  function drawPicked() {
    screen.strokeStyle = colours.ink;
    screen.lineWidth = 2.5;
    screen.beginPath();
    if (picked.figure >= 0 && picked.figure < figures) {
      const from = firstCorner[picked.figure], corners = firstCorner[picked.figure + 1] - from;
      for (const c of corners === 4 ? [0, 1, 3, 2, 0] : corners === 2 ? [0, 1] : [0]) screen.lineTo(toX(cornerX[from + c]), toY(cornerY[from + c]));
    }
    if (picked.record >= 0) {
      screen.moveTo(toX(X0[picked.record]), toY(Y0[picked.record]));
      screen.lineTo(toX(X1[picked.record]), toY(Y1[picked.record]));
    }
    screen.stroke();
    screen.strokeRect(toX(picked.x) - 9, toY(picked.y) - 9, 18, 18);
  }

  // ---- play: time and record ------------------------------------------------------------------------------------------------------------------
  const now = { time: 0, record: 0, part: 0, waits: "" };
  const isCalm = matchMedia("(prefers-reduced-motion: reduce)");
  let isPlaying = false, playedAt = 0;
  const written = () => !has.isWhole ? has.records : now.part >= 1 && !now.waits ? now.record + 1 : now.record;
  function goTo(time) {
    if (!has.isWhole || !count) return;
    now.time = Math.max(0, Math.min(has.total, time));
    let low = 0, high = count;
    while (high - low > 1) {
      const middle = low + high >> 1;
      if (begin[middle] <= now.time) low = middle; else high = middle;
    }
    while (low > 0 && kind[low] === MARKER && end[low - 1] > begin[low - 1] && now.time >= has.total) low--;
    setRecord(low);
  }
  function setRecord(i) {
    now.record = i;
    now.waits = "";
    const lasts = end[i] - begin[i];
    now.part = lasts > 0 ? Math.min(1, Math.max(0, (now.time - begin[i]) / lasts)) : 1;
    if (i + 1 < count && now.time > end[i] && begin[i + 1] > end[i]) {
      now.waits = stallBefore.has(i + 1) ? "the link" : "the stage";
      now.part = (now.time - end[i]) / (begin[i + 1] - end[i]);
    }
    part("slider").value = has.total > 0 ? Math.round(10000 * now.time / has.total) : 0;
    part("slider").setAttribute("aria-valuetext", `${clock(now.time)} of ${clock(has.total)}, record ${i}`);
    ask();
  }
  // Steps look at a record when it is complete.
  function goToRecord(i) {
    if (!has.isWhole || !count) return;
    i = Math.max(0, Math.min(count - 1, i));
    now.time = end[i];
    setRecord(i);
  }
  function goToFigure(by) {
    if (!has.isWhole || !count) return;
    let i = now.record;
    const figure = figureAt(i);
    while (i + by >= 0 && i + by < count && figureAt(i) === figure) i += by;
    while (by < 0 && i > 0 && figureAt(i - 1) === figureAt(i)) i--;
    goToRecord(i);
  }
  function play(wanted = !isPlaying) {
    isPlaying = wanted && has.total > 0;
    if (isPlaying && now.time >= has.total) goTo(0);
    playedAt = performance.now();
    part("play").textContent = isPlaying ? "Pause" : "Play";
    ask();
  }
  function advance(at) {
    if (!isPlaying || isCalm.matches && at - playedAt < 250) return;
    const speed = part("speed").value, rate = speed === "real" ? 1 : Number(speed) >= 10 ? has.total / Number(speed) : Number(speed);
    goTo(now.time + rate * (at - playedAt) / 1000);
    playedAt = at;
    if (now.time >= has.total) play(false);
  }

  // ---- tell: the record in words ----------------------------------------------------------------------------------------------------------------
  const grouped = new Intl.NumberFormat("en");
  // Where a second reading tells, the current changes evenly until then.
  const amperesAt = time => facts.beamAmperes + (facts.laterSeconds ? (facts.laterAmperes - facts.beamAmperes) * Math.min(1, time / facts.laterSeconds) : 0);
  function factsOf(i, figure = figureAt(i), x, y) {
    const told = [];
    if (i >= 0) {
      const k = kind[i], lasts = end[i] - begin[i];
      told.push(["Record", `${grouped.format(i)}: ${KINDS[k]}`], ["Time", `${clock(begin[i])}${lasts > 0 ? `, lasts ${quantity(lasts, "s")}` : ""}`]);
      if (X1[i] === X1[i]) {
        const codes = codesOf(i, x ?? X1[i], y ?? Y1[i]);
        told.push(["X, Y", `${length(x ?? X1[i])}, ${length(y ?? Y1[i])}`], ["Codes X, Y", codes.map(code => grouped.format(code)).join(", ")]);
      }
      if (points[i] > 0) {
        told.push(["Dwell", `${quantity(lasts / points[i], "s")} a point${points[i] > 1 ? `, ${grouped.format(points[i])} points` : ""}`]);
        if (facts.beamAmperes) told.push(["Charge", quantity(lasts * amperesAt((begin[i] + end[i]) / 2), "C")]);
      }
      if (parts[partOf[i]].name) told.push(["Write field", parts[partOf[i]].name]);
    }
    if (figure >= 0) {
      told.push(["Figure", grouped.format(figure) + (figure < figures ? `, layer ${facts.layers[figureLayer[figure]]}` : "")]);
      if (figure < figures) {
        const corners = firstCorner[figure + 1] - firstCorner[figure], base = facts.doses[figureLayer[figure]], factor = figureDose[figure];
        const dose = !base ? "" : corners === 4 ? `${plain(base[0] * factor * 100)} µC/cm²` : corners === 2 ? quantity(base[1] * factor / 100, "C/cm") : quantity(base[2] * factor, "C");
        told.push(["Dose", `${dose}${dose ? ", " : ""}factor ${plain(factor)}`]);
        if (figurePlace[figure]) told.push(["Drawn", facts.places[figurePlace[figure] - 1]]);
      }
    }
    return told;
  }
  function list(id, told) {
    part(id).replaceChildren(...told.flatMap(([name, value]) => [Object.assign(document.createElement("dt"), { textContent: name }), Object.assign(document.createElement("dd"), { textContent: value })]));
  }
  let toldAt = -1, toldRecord = -2, toldTime = -1;
  function tell(at) {
    if (!count || !has.isWhole || toldRecord === now.record && toldTime === now.time || isPlaying && at - toldAt < 200) return;
    [toldAt, toldRecord, toldTime] = [at, now.record, now.time];
    const [x, y] = now.waits ? [X1[now.record], Y1[now.record]] : beamAt();
    list("now", [["Now", `${clock(now.time)} of ${clock(has.total)}${now.waits ? `, waits for ${now.waits}, beam off` : ""}`], ...factsOf(now.record, undefined, x, y)]);
    canvas.dataset.record = now.record;
  }

  // ---- pick: what lies under the pointer ---------------------------------------------------------------------------------------------------------
  let picked = null;
  function pick(atX, atY) {
    const x = view.x + (atX - plot.width / 2) / view.scale, y = view.y - (atY - plot.height / 2) / view.scale, reach = 12 / view.scale;
    let record = -1, nearest = reach, figure = -1;
    for (const r of show.strokes ? runsWithin(boxes.beam, [x - reach, y - reach, x + reach, y + reach]) : []) {
      for (let i = r * RUN; i < Math.min(has.records, (r + 1) * RUN); i++) {
        if (kind[i] !== DOT && kind[i] !== LINE || isHidden(i)) continue;
        const dx = X1[i] - X0[i], dy = Y1[i] - Y0[i], squared = dx * dx + dy * dy;
        const along = squared > 0 ? Math.max(0, Math.min(1, ((x - X0[i]) * dx + (y - Y0[i]) * dy) / squared)) : 0;
        const distance = Math.hypot(x - X0[i] - along * dx, y - Y0[i] - along * dy);
        if (distance < nearest) [nearest, record] = [distance, i];
      }
    }
    if (record >= 0) figure = figureAt(record);
    if (figure < 0) figure = figureAround(x, y, reach);
    picked = { record, figure, x, y };
    const told = factsOf(record, figure);
    list("picked", told.length ? told : [["Nothing", `at ${length(x)}, ${length(y)}`]]);
    part("to-picked").disabled = record < 0;
    ask();
  }
  function isInside(f, x, y, reach) {
    const from = firstCorner[f], corners = firstCorner[f + 1] - from;
    if (corners < 4) return Math.hypot(x - cornerX[from], y - cornerY[from]) < reach;
    const order = [0, 1, 3, 2];
    let isIn = false;
    for (let c = 0, b = 3; c < 4; b = c++) {
      const [ax, ay, bx, by] = [cornerX[from + order[c]], cornerY[from + order[c]], cornerX[from + order[b]], cornerY[from + order[b]]];
      if ((ay > y) !== (by > y) && x < (bx - ax) * (y - ay) / (by - ay) + ax) isIn = !isIn;
    }
    return isIn;
  }

  // ---- frame: one a screen refresh, none when nothing changes ----------------------------------------------------------------------------------------
  let isAsked = false;
  function ask() {
    if (!isAsked) requestAnimationFrame(frame);
    isAsked = true;
  }
  function frame(at) {
    isAsked = false;
    advance(at);
    const hasMore = paintSome(performance.now() + SLICE);
    draw();
    tell(at);
    canvas.dataset.state = hasMore || isPlaying || !has.isWhole ? "busy" : "idle";
    if (hasMore || isPlaying) ask();
    if (!isFirstDrawn && shown) {
      isFirstDrawn = true;
      performance.mark("player-first-frame", { detail: { figures: has.figures, records: has.records } });
      if (!has.isWhole) next.port1.postMessage(0);
    }
  }

  // ---- read on: between frames, until all is read ------------------------------------------------------------------------------------------------------
  const READ_SLICE = 12, FIRST_SLICE = 60, next = new MessageChannel();
  let isFirstDrawn = false;
  next.port2.onmessage = () => {
    const hadFigures = has.isPlain;
    readFor(READ_SLICE);
    if (has.isPlain && !hadFigures) repaint();
    ask();
    if (!has.isWhole) next.port1.postMessage(0);
  };
  // What can be drawn at once comes first: figures, or records where there are none.
  function readFor(milliseconds, isEnough = () => false) {
    const until = performance.now() + milliseconds;
    while (!has.isWhole && performance.now() < until && !isEnough()) work.next();
    if (has.isWhole) readAll();
    else part("summary").textContent = `Reading ${grouped.format(count)} records…`;
  }
  function readAll() {
    performance.mark("player-read");
    for (const id of ["play", "back", "step", "slider"]) part(id).disabled = !count;
    part("show-print").closest("label").hidden = !rings.length;
    let beamOn = 0, dark = 0, stalled = 0;
    for (let i = 0; i < count; i++) if (points[i] > 0) beamOn += end[i] - begin[i]; else dark += end[i] - begin[i];
    for (const [, seconds] of facts.stalls) stalled += seconds;
    part("summary").textContent = `${grouped.format(count)} records${figures ? ` of ${grouped.format(figures)} figures` : ""} in ${clock(has.total)}: beam on for ${clock(beamOn)}, jumps and waits ${clock(dark)}`
      + `${facts.stalls.length ? `, ${grouped.format(facts.stalls.length)} waits for the link ${clock(stalled)}` : ""}.${facts.beamAmperes ? "" : " Without a machine file there is no charge, and no wait for the link."}`
      + " Filled mark: beam on; hollow mark: beam off; dashed: jump. Where jumps are too many to draw singly, those just made are drawn.";
    goTo(has.total);
    const made = coming ?? shown;
    if (made && !made.isOfAll && (made.isDense !== isDenseIn(made.view) || show.jumps && jumpsIn(made.view).length)) repaint();
  }

  // ---- pointer, keys, controls ------------------------------------------------------------------------------------------------------------------------
  const pointers = new Map();
  let travelled = 0;
  const placeOf = event => [event.offsetX - plot.left, event.offsetY - plot.top];
  canvas.addEventListener("pointerdown", event => {
    canvas.setPointerCapture(event.pointerId);
    pointers.set(event.pointerId, placeOf(event));
    if (pointers.size === 1) travelled = 0;
  });
  canvas.addEventListener("pointermove", event => {
    const before = pointers.get(event.pointerId), [x, y] = placeOf(event);
    if (!before) return;
    pointers.set(event.pointerId, [x, y]);
    travelled += Math.hypot(x - before[0], y - before[1]);
    if (pointers.size === 1 && travelled > 4) move(x - before[0], y - before[1]);
    if (pointers.size === 2) {
      const [ox, oy] = [...pointers].find(([id]) => id !== event.pointerId)[1];
      move((x - before[0]) / 2, (y - before[1]) / 2);
      zoom(Math.hypot(x - ox, y - oy) / Math.max(1, Math.hypot(before[0] - ox, before[1] - oy)), (x + ox) / 2, (y + oy) / 2);
    }
  });
  for (const name of ["pointerup", "pointercancel"]) canvas.addEventListener(name, event => {
    if (name === "pointerup" && pointers.size === 1 && travelled <= 4) pick(...placeOf(event));
    pointers.delete(event.pointerId);
  });
  canvas.addEventListener("dblclick", event => zoom(2, ...placeOf(event)));
  canvas.addEventListener("wheel", event => {
    if (document.activeElement !== canvas && !event.ctrlKey) return;
    event.preventDefault();
    zoom(Math.exp(-event.deltaY * (event.deltaMode === 1 ? 0.05 : event.ctrlKey ? 0.01 : 0.0015)), ...placeOf(event));
  }, { passive: false });
  const keys = {
    ArrowLeft: () => move(60, 0), ArrowRight: () => move(-60, 0), ArrowUp: () => move(0, 60), ArrowDown: () => move(0, -60),
    "+": () => zoom(1.4), "=": () => zoom(1.4), "-": () => zoom(1 / 1.4), 0: showAll, " ": () => play(),
    ",": () => goToRecord(now.record - 1), ".": () => goToRecord(now.record + 1), "[": () => goToFigure(-1), "]": () => goToFigure(1),
    Home: () => goToRecord(0), End: () => goToRecord(count - 1), p: () => pick(plot.width / 2, plot.height / 2),
    b: () => { const [x, y] = beamAt(); if (x === x) centre(x, y); },
  };
  canvas.addEventListener("keydown", event => {
    const act = keys[event.key.length === 1 ? event.key.toLowerCase() : event.key];
    if (!act || event.ctrlKey || event.altKey || event.metaKey) return;
    event.preventDefault();
    act();
  });
  part("play").addEventListener("click", () => play());
  part("back").addEventListener("click", () => goToRecord(now.record - 1));
  part("step").addEventListener("click", () => goToRecord(now.record + 1));
  part("zoom-in").addEventListener("click", () => zoom(1.6));
  part("zoom-out").addEventListener("click", () => zoom(1 / 1.6));
  part("zoom-all").addEventListener("click", showAll);
  part("slider").addEventListener("input", event => { play(false); goTo(has.total * event.target.value / 10000); });
  part("to-picked").addEventListener("click", () => { if (picked?.record >= 0) goToRecord(picked.record); });
  for (const name of Object.keys(show)) {
    part("show-" + name).checked = true;
    part("show-" + name).addEventListener("change", event => { show[name] = event.target.checked; repaint(); });
  }
  part("show-figures").closest("label").hidden = !figures;
  part("show-messages").closest("label").hidden = part("messages").hidden = part("messages-title").hidden = !facts.messages.length;
  if (facts.layers.length > 1) facts.layers.forEach((name, layer) => {
    const box = Object.assign(document.createElement("input"), { type: "checkbox", checked: true }), shownAs = document.createElement("label");
    shownAs.append(box, `Layer ${name}`);
    part("drawn-layers").append(shownAs);
    box.addEventListener("change", () => {
      hidden[layer] = box.checked ? 0 : 1;
      isHidden = hidden.includes(1) ? i => { const f = figureAt(i); return f >= 0 && f < figures && hidden[figureLayer[f]] === 1; } : () => false;
      repaint();
    });
  });
  const MESSAGES = 200;
  for (const told of facts.messages.slice(0, MESSAGES)) {
    const button = Object.assign(document.createElement("button"), { type: "button", textContent: `${told.isWarning ? "Warning" : "Note"} ${told.text}` }), item = document.createElement("li");
    if (told.isWarning) button.className = "player-warning";
    button.addEventListener("click", () => {
      centre(told.x, told.y, 40 * (facts.spotNanometres ?? 50));
      pick(plot.width / 2, plot.height / 2);
      canvas.scrollIntoView({ block: "nearest" });
    });
    item.append(button);
    part("messages").append(item);
  }
  if (facts.messages.length > MESSAGES) part("messages").append(Object.assign(document.createElement("li"), { textContent: `and ${facts.messages.length - MESSAGES} more` }));
  document.getElementById("player").hidden = false;
  part("to-picked").disabled = true;
  list("picked", [["", "Click a stroke or a figure."]]);
  matchMedia("(prefers-color-scheme: dark)").addEventListener("change", readColours);
  new ResizeObserver(resize).observe(canvas);
  for (const id of ["play", "back", "step", "slider"]) part(id).disabled = true;
  readColours();
  resize();
  showAll();
  readFor(FIRST_SLICE, () => has.isPlain && (figures > 0 || has.records > 0));
})();
