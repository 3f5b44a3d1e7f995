// Reads the numbers of a page that plays, a block at a time, so that something can be drawn before all is read: figures first, then the predicted
// print, then the records in the order they are written. Base64 → likely bits → repeats → columns → typed arrays, and boxes around runs of records.
// Lengths are nanometres, times seconds.
const playerReading = (facts, base64) => {
  "use strict";
  const JUMP = 0, DOT = 1, LINE = 2, WAIT = 3, MARKER = 4;
  const { figures: figureBlocks, print: printBlock, records: recordBlocks } = facts.blocks;

  // ---- bytes: likely bits (see RangeCoding.cs), then repeats (see RepeatCoding.cs), as far as they are wanted ----------------------------------
  const raw = atob(base64), packed = new Uint8Array(raw.length);
  for (let i = 0; i < raw.length; i++) packed[i] = raw.charCodeAt(i);
  class Column {
    constructor(bytes) { this.bytes = bytes; this.at = 0; }
    byte() { return this.bytes[this.at++]; }
    count() {
      let value = 0, weight = 1, byte;
      do { byte = this.bytes[this.at++]; value += (byte & 127) * weight; weight *= 128; } while (byte > 127);
      return value;
    }
    difference() { const n = this.count(); return n % 2 ? -(n + 1) / 2 : n / 2; }
  }
  const head = new Column(packed), told = new Uint8Array(head.count()), zeros = new Uint16Array(65536).fill(2048);
  let packedAt = head.at, toldTo = 0, toldAt = 0, range = 4294967295, code = 0, before = 0;
  for (let i = 0; i < 5; i++) code = (code << 8 | packed[packedAt++]) >>> 0;
  function likely(wanted) {
    let r = range, c = code, b = before, p = packedAt;
    for (; toldTo < wanted; toldTo++) {
      let node = 1;
      while (node < 256) {
        const context = b << 8 | node, zero = zeros[context], bound = Math.imul(r >>> 12, zero) >>> 0;
        if (c < bound) {
          r = bound;
          zeros[context] = zero + (4096 - zero >> 4);
          node = node << 1;
        } else {
          c = c - bound >>> 0;
          r = r - bound >>> 0;
          zeros[context] = zero - (zero >> 4);
          node = node << 1 | 1;
        }
        while (r < 16777216) {
          r = r << 8 >>> 0;
          c = (c << 8 | packed[p++]) >>> 0;
        }
      }
      told[toldTo] = b = node & 255;
    }
    [range, code, before, packedAt] = [r, c, b, p];
  }
  function countTold() {
    let value = 0, weight = 1, byte;
    do {
      if (toldAt === toldTo) likely(toldTo + 1);
      byte = told[toldAt++];
      value += (byte & 127) * weight;
      weight *= 128;
    } while (byte > 127);
    return value;
  }
  const sumOf = blocks => blocks.reduce((sum, lengths) => sum + lengths.reduce((a, b) => a + b, 0), 0);
  const all = new Uint8Array(sumOf([...figureBlocks, printBlock, ...recordBlocks]));
  let at = 0, plain = 0, repeat = 0, back = 0, isRepeatNext = false;
  function unpack(wanted) {
    while (at < wanted) {
      if (plain > 0) {
        const n = Math.min(plain, wanted - at);
        likely(toldAt + n);
        all.set(told.subarray(toldAt, toldAt + n), at);
        toldAt += n;
        at += n;
        plain -= n;
      } else if (repeat > 0) {
        for (const end = Math.min(at + repeat, wanted); at < end; at++, repeat--) all[at] = all[at - back];
      } else {
        if (isRepeatNext) [repeat, back] = [countTold(), countTold()]; else plain = countTold();
        isRepeatNext = !isRepeatNext;
      }
    }
  }
  let taken = 0;
  function columnsOf(lengths) {
    unpack(taken + lengths.reduce((a, b) => a + b, 0));
    return lengths.map(length => new Column(all.subarray(taken, taken += length)));
  }

  // ---- what is read --------------------------------------------------------------------------------------------------------------------------------
  const RUN = 256, CELLS = 128, count = facts.records, figures = facts.figures, runs = Math.ceil(count / RUN);
  const floats = length => new Float64Array(length), wholes = length => new Int32Array(length);
  const has = { records: 0, figures: 0, isPlain: false, isWhole: false, isMarked: false, total: 0 };
  const kind = new Uint8Array(count), figureOf = wholes(count), points = wholes(count), partOf = wholes(count);
  const X0 = floats(count), Y0 = floats(count), X1 = floats(count), Y1 = floats(count), begin = floats(count), end = floats(count);
  const figureLayer = wholes(figures), figureDose = floats(figures), figurePlace = wholes(figures), firstCorner = wholes(figures + 1);
  const cornerX = floats(4 * figures), cornerY = floats(4 * figures), rings = [], buckets = new Map(), stallBefore = new Map(facts.stalls);
  const boxes = { beam: floats(4 * runs).fill(NaN), jumps: floats(4 * runs).fill(NaN) };
  const [left, bottom, right, top] = facts.extent.length ? facts.extent : [-500, -500, 500, 500];
  const cellOf = (value, low, high) => Math.max(0, Math.min(CELLS - 1, Math.floor((value - low) / Math.max(high - low, 1) * CELLS)));
  const cellX = x => cellOf(x, left, right), cellY = y => cellOf(y, bottom, top);

  // Boxes lie around runs of records, which follow each other in place as in time.
  function widen(box, at, x, y) {
    if (!(box[at] <= x)) box[at] = x;
    if (!(box[at + 1] <= y)) box[at + 1] = y;
    if (!(box[at + 2] >= x)) box[at + 2] = x;
    if (!(box[at + 3] >= y)) box[at + 3] = y;
  }
  let cornersRead = 0, cornerAtX = 0, cornerAtY = 0, where = 0;
  function readFigures(lengths) {
    const [shape, corners, places] = columnsOf(lengths);
    for (let f = has.figures; shape.at < shape.bytes.length; f++, has.figures++) {
      const n = shape.byte();
      figureLayer[f] = shape.count();
      figureDose[f] = shape.count() / 1e6;
      let x0 = Infinity, y0 = Infinity, x1 = -Infinity, y1 = -Infinity;
      for (let c = 0; c < n; c++, cornersRead++) {
        const x = cornerX[cornersRead] = (cornerAtX += corners.difference()) * facts.grid, y = cornerY[cornersRead] = (cornerAtY += corners.difference()) * facts.grid;
        [x0, y0, x1, y1] = [Math.min(x0, x), Math.min(y0, y), Math.max(x1, x), Math.max(y1, y)];
      }
      firstCorner[f + 1] = cornersRead;
      figurePlace[f] = where += places.difference();
      for (let i = cellX(x0); i <= cellX(x1); i++) {
        for (let j = cellY(y0); j <= cellY(y1); j++) {
          const list = buckets.get(i * CELLS + j);
          if (list) list.push(f); else buckets.set(i * CELLS + j, [f]);
        }
      }
    }
  }
  function readPrint() {
    const [sizes, printed] = columnsOf(printBlock);
    for (let x = 0, y = 0; sizes.at < sizes.bytes.length;) {
      const ring = floats(2 * sizes.count());
      for (let i = 0; i < ring.length; i += 2) {
        ring[i] = (x += printed.difference()) * facts.printGrid;
        ring[i + 1] = (y += printed.difference()) * facts.printGrid;
      }
      rings.push(ring);
    }
  }
  const parts = facts.parts, ticksOf = [0, 0, 0, 0, 0, 0];
  let codeX = 0, codeY = 0, linePoints = 0, figure = -1, time = 0, p = -1;
  function readRecords(lengths) {
    const [kinds, start, reach, counts, ticks] = columnsOf(lengths), first = has.records;
    for (let i = first; i < first + kinds.bytes.length; i++) {
      if (p + 1 < parts.length && parts[p + 1].record === i) {
        p++;
        figure = -1;
        time += parts[p].moveSeconds;
      }
      const here = parts[p], k = kind[i] = kinds.byte(), lasts = ticksOf[k] += ticks.difference();
      time += stallBefore.get(i) ?? 0;
      if (k === MARKER) {
        figure = lasts + here.figure;
        has.isMarked = true;
      }
      figureOf[i] = figure;
      partOf[i] = p;
      begin[i] = time;
      end[i] = time += k < MARKER ? lasts / here.clockHertz : 0;
      if (k < WAIT) {
        codeX += start.difference();
        codeY += start.difference();
        place(X0, Y0, i, here);
        points[i] = k === DOT ? 1 : 0;
        if (k === LINE) {
          codeX += reach.difference();
          codeY += reach.difference();
          points[i] = linePoints += counts.difference();
        }
        place(X1, Y1, i, here);
        const box = k === JUMP ? boxes.jumps : boxes.beam, run = 4 * Math.floor(i / RUN);
        if (k === JUMP && i > 0 && X1[i - 1] === X1[i - 1]) widen(box, run, X1[i - 1], Y1[i - 1]);
        widen(box, run, X0[i], Y0[i]);
        if (k === LINE) widen(box, run, X1[i], Y1[i]);
      } else {
        X0[i] = X1[i] = i > 0 ? X1[i - 1] : NaN;
        Y0[i] = Y1[i] = i > 0 ? Y1[i - 1] : NaN;
      }
    }
    has.records += kinds.bytes.length;
  }
  function place(xs, ys, i, here) {
    const alongX = codeX * here.stepX, alongY = codeY * here.stepY;
    xs[i] = here.originX + (here.swapped ? alongY : alongX);
    ys[i] = here.originY + (here.swapped ? alongX : alongY);
  }
  function* read() {
    for (const lengths of figureBlocks) { readFigures(lengths); yield; }
    if (printBlock.length) readPrint();
    has.isPlain = true;
    yield;
    for (const lengths of recordBlocks) { readRecords(lengths); yield; }
    has.total = time;
    has.isWhole = true;
  }

  return {
    has, read, RUN, count, figures, parts, kind, figureOf, points, partOf, X0, Y0, X1, Y1, begin, end, stallBefore,
    figureLayer, figureDose, figurePlace, firstCorner, cornerX, cornerY, rings, boxes, extent: [left, bottom, right, top],
    figuresAround: (x, y) => buckets.get(cellX(x) * CELLS + cellY(y)) ?? [],
    runsWithin: (box, [left, bottom, right, top], from = 0, to = runs) => {
      const found = [];
      for (let r = from; r < to; r++) if (box[4 * r] <= right && box[4 * r + 2] >= left && box[4 * r + 1] <= top && box[4 * r + 3] >= bottom) found.push(r);
      return found;
    },
  };
};
