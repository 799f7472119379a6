import { chainOrder } from "./chains";
import type { Strides } from "./data";
import { quadArea, toSegment, type Box } from "./geometry";

// Levels of detail. The strides, in the order of their chains, are the leaves of a
// binary tree: a node of level k stands for 2^k strides by the back bar of its
// first and the front bar of its last, and knows how far that is off. A picture
// takes the coarsest nodes that are not off by more than a part of a pixel, and
// coarser ones where that were too many. So turns keep their bars where straight
// ways do not need them.

/** Runs of 2^6 strides have bounds; below, all of a run is taken or none. */
const boxLevel = 6;

/** Bars further apart than this are not joined to one quad; centimetres. */
const mostGap = 200;

interface Level {
  /** How far a node's quad may be off its strides, in centimetres. */
  off: Float32Array;
  first: Uint32Array;
  last: Uint32Array;
  area: Float32Array;
  rate: Float32Array;
  depth: Float32Array;
  /** x0, y0, x1, y1 of each node, from boxLevel on. */
  boxes: Int32Array | null;
}

/** What to draw: for each quad its first and its last stride and the means. */
export interface Selection {
  count: number;
  first: Uint32Array;
  last: Uint32Array;
  rate: Float32Array;
  depth: Float32Array;
  /** How far a quad may be off its strides, in centimetres; 0 where each stands for itself. */
  off: number;
}

export interface Span {
  low: number;
  high: number;
}

export class Levels {
  private readonly levels: Level[];
  private readonly stackLevel = new Uint8Array(128);
  private readonly stackNode = new Uint32Array(128);

  /** The spans of rate and depth say how much of a colour a difference is. */
  constructor(
    readonly strides: Strides,
    private readonly rates: Span,
    private readonly depths: Span,
  ) {
    this.levels = [this.leaves(chainOrder(strides))];
    while (this.top.off.length > 1) this.levels.push(this.merge(this.top, this.levels.length));
    if (this.top.boxes === null && this.top.off.length === 1) this.top.boxes = this.boxesOf(this.levels.length - 1);
  }

  private get top(): Level {
    return this.levels[this.levels.length - 1];
  }

  private leaves(order: Uint32Array): Level {
    const { corners, rate, depth } = this.strides;
    const n = order.length;
    const l = newLevel(n);
    l.first = l.last = order;
    for (let i = 0; i < n; i++) {
      l.area[i] = quadArea(corners, 8 * order[i]);
      l.rate[i] = rate[order[i]];
      l.depth[i] = depth[order[i]];
    }
    return l;
  }

  private merge(below: Level, k: number): Level {
    const n = (below.off.length + 1) >> 1;
    const l = newLevel(n);
    for (let i = 0; i < n; i++) this.mergeTwo(below, 2 * i, l, i);
    this.levels.push(l);
    if (k >= boxLevel) l.boxes = this.boxesOf(k);
    this.levels.pop();
    return l;
  }

  private mergeTwo(below: Level, a: number, l: Level, i: number): void {
    const b = a + 1;
    if (b >= below.off.length) {
      copyNode(below, a, l, i, below.off[a]);
      return;
    }
    const c = this.strides.corners;
    const fa = 8 * below.first[a], la = 8 * below.last[a], fb = 8 * below.first[b], lb = 8 * below.last[b];
    let off = Math.max(below.off[a], below.off[b]);
    const gap = Math.max(
      Math.hypot(c[la + 6] - c[fb], c[la + 7] - c[fb + 1]),
      Math.hypot(c[la + 4] - c[fb + 2], c[la + 5] - c[fb + 3]),
    );
    if (gap > mostGap) {
      // No one quad covers both: the larger stands for both, the other is lost.
      const [keep, lose] = below.area[a] >= below.area[b] ? [a, b] : [b, a];
      copyNode(below, keep, l, i, Math.max(off, length(c, 8 * below.first[lose], 8 * below.last[lose]), 1));
      return;
    }
    off = Math.max(
      off,
      gap,
      toSegment(c[la + 6], c[la + 7], c[fa], c[fa + 1], c[lb + 6], c[lb + 7]),
      toSegment(c[la + 4], c[la + 5], c[fa + 2], c[fa + 3], c[lb + 4], c[lb + 5]),
    );
    // A mean of two rates is off by as much of the shorter way as the two differ.
    const unlike = Math.max(
      contrast(below.rate[a], below.rate[b], this.rates),
      contrast(below.depth[a], below.depth[b], this.depths),
    );
    if (unlike > 0) off = Math.max(off, unlike * Math.min(length(c, fa, la), length(c, fb, lb)));
    l.off[i] = off;
    l.first[i] = below.first[a];
    l.last[i] = below.last[b];
    l.area[i] = below.area[a] + below.area[b];
    l.rate[i] = mean(below.rate[a], below.area[a], below.rate[b], below.area[b]);
    l.depth[i] = mean(below.depth[a], below.area[a], below.depth[b], below.area[b]);
  }

  /** Bounds of all strides below each node, also of those it does not show. */
  private boxesOf(k: number): Int32Array {
    const below = this.levels[k - 1]?.boxes ?? null;
    const n = this.levels[k].off.length;
    const boxes = new Int32Array(4 * n);
    for (let i = 0; i < n; i++) {
      let x0 = 0x7fffffff, y0 = 0x7fffffff, x1 = -0x7fffffff, y1 = -0x7fffffff;
      const take = (x: number, y: number) => {
        if (x < x0) x0 = x;
        if (x > x1) x1 = x;
        if (y < y0) y0 = y;
        if (y > y1) y1 = y;
      };
      if (below !== null) {
        for (let j = 8 * i; j < Math.min(8 * i + 8, below.length); j += 2) take(below[j], below[j + 1]);
      } else {
        const order = this.levels[0].first;
        const end = Math.min((i + 1) * 2 ** k, order.length);
        for (let j = i * 2 ** k; j < end; j++) {
          const o = 8 * order[j];
          for (let v = 0; v < 8; v += 2) take(this.strides.corners[o + v], this.strides.corners[o + v + 1]);
        }
      }
      boxes.set([x0, y0, x1, y1], 4 * i);
    }
    return boxes;
  }

  /**
   * Takes at most `most` quads for what is in sight: every stride if they are so
   * few, else merged ones as fine as the number allows, none finer than `fine`
   * centimetres.
   */
  select(sight: Box, fine: number, most: number): Selection {
    const s: Selection = {
      count: 0,
      first: new Uint32Array(most),
      last: new Uint32Array(most),
      rate: new Float32Array(most),
      depth: new Float32Array(most),
      off: 0,
    };
    if (this.strides.count === 0 || most === 0 || this.walk(sight, -1, most, s)) return s;
    s.off = fine;
    while (!this.walk(sight, s.off, most, s)) s.off *= 1.5;
    return s;
  }

  /** Fills s with the nodes that are off by no more; false if they are too many. */
  private walk(sight: Box, off: number, most: number, s: Selection): boolean {
    const { stackLevel, stackNode } = this;
    let depth = 1;
    stackLevel[0] = this.levels.length - 1;
    stackNode[0] = 0;
    s.count = 0;
    while (depth > 0) {
      depth--;
      const k = stackLevel[depth];
      const i = stackNode[depth];
      const l = this.levels[k];
      if (l.boxes !== null) {
        const o = 4 * i;
        if (l.boxes[o] > sight.x1 || l.boxes[o + 2] < sight.x0 || l.boxes[o + 1] > sight.y1 || l.boxes[o + 3] < sight.y0) continue;
      }
      if (k > 0 && l.off[i] > off) {
        const a = 2 * i;
        // The first of the two is taken from the stack first: order is kept.
        if (a + 1 < this.levels[k - 1].off.length) {
          stackLevel[depth] = k - 1;
          stackNode[depth++] = a + 1;
        }
        stackLevel[depth] = k - 1;
        stackNode[depth++] = a;
        continue;
      }
      if (s.count >= most) return false;
      s.first[s.count] = l.first[i];
      s.last[s.count] = l.last[i];
      s.rate[s.count] = l.rate[i];
      s.depth[s.count] = l.depth[i];
      s.count++;
    }
    return true;
  }

  /** Strides whose runs are within the box, to be looked at one by one. */
  near(b: Box, take: (stride: number) => void): void {
    if (this.strides.count === 0) return;
    const order = this.levels[0].first;
    const visit = (k: number, i: number): void => {
      const { boxes } = this.levels[k];
      if (boxes !== null) {
        const o = 4 * i;
        if (boxes[o] > b.x1 || boxes[o + 2] < b.x0 || boxes[o + 1] > b.y1 || boxes[o + 3] < b.y0) return;
      }
      if (k > boxLevel) {
        visit(k - 1, 2 * i);
        if (2 * i + 1 < this.levels[k - 1].off.length) visit(k - 1, 2 * i + 1);
        return;
      }
      const end = Math.min((i + 1) * 2 ** k, order.length);
      for (let j = i * 2 ** k; j < end; j++) take(order[j]);
    };
    visit(this.levels.length - 1, 0);
  }
}

function newLevel(n: number): Level {
  return {
    off: new Float32Array(n),
    first: new Uint32Array(n),
    last: new Uint32Array(n),
    area: new Float32Array(n),
    rate: new Float32Array(n),
    depth: new Float32Array(n),
    boxes: null,
  };
}

function copyNode(from: Level, a: number, to: Level, i: number, off: number): void {
  to.off[i] = off;
  to.first[i] = from.first[a];
  to.last[i] = from.last[a];
  to.area[i] = from.area[a];
  to.rate[i] = from.rate[a];
  to.depth[i] = from.depth[a];
}

/** From the middle of the back bar at a to the middle of the front bar at b. */
function length(c: Int32Array, a: number, b: number): number {
  return Math.hypot(
    (c[b + 4] + c[b + 6] - c[a] - c[a + 2]) / 2,
    (c[b + 5] + c[b + 7] - c[a + 1] - c[a + 3]) / 2,
  );
}

/** How unlike two values look, 0 to 1. */
function contrast(a: number, b: number, span: Span): number {
  const aKnown = a === a, bKnown = b === b;
  if (!aKnown && !bKnown) return 0;
  if (aKnown !== bKnown) return 1;
  const width = span.high - span.low;
  return width > 0 ? Math.min(1, Math.abs(a - b) / width) : 0;
}

function mean(a: number, areaA: number, b: number, areaB: number): number {
  if (a !== a) return b;
  if (b !== b) return a;
  const sum = areaA + areaB;
  return sum > 0 ? (a * areaA + b * areaB) / sum : (a + b) / 2;
}
