import type { Strides } from "./data";

// A bar of several sections writes strides side by side in turn. To merge strides
// one after another they are first put in chains: each begins at the front bar of
// the one before it in its chain.

/** How many open ends of chains are kept in mind: a bar has no more sections. */
const openEnds = 64;

/** The strides in the order of their chains, chain after chain. */
export function chainOrder(s: Strides): Uint32Array {
  const { corners, joins, count } = s;
  const next = new Int32Array(count).fill(-1);
  const starts: number[] = [];
  const ends: number[] = []; // last strides of the chains, latest used at the end
  let track = 0;
  for (let i = 0; i < count; i++) {
    while (track < s.trackStart.length && s.trackStart[track] <= i) {
      if (s.trackStart[track] === i) ends.length = 0;
      track++;
    }
    const at = joins[i] ? ends.length - 1 : endAt(corners, ends, i);
    if (at >= 0) {
      next[ends[at]] = i;
      ends.splice(at, 1);
    } else {
      starts.push(i);
      if (ends.length >= openEnds) ends.shift();
    }
    ends.push(i);
  }

  const order = new Uint32Array(count);
  let n = 0;
  for (const start of starts) {
    for (let i = start; i >= 0; i = next[i]) order[n++] = i;
  }
  return order;
}

/** The open end whose front bar is the back bar of stride i, -1 for none. */
function endAt(c: Int32Array, ends: number[], i: number): number {
  const b = 8 * i;
  for (let k = ends.length - 1; k >= 0; k--) {
    const f = 8 * ends[k];
    if (c[f + 6] === c[b] && c[f + 7] === c[b + 1] && c[f + 4] === c[b + 2] && c[f + 5] === c[b + 3]) return k;
  }
  return -1;
}

/**
 * The way of the machines as strides without width: one for each stretch of the
 * odometer, along the middle of all sections that covered it.
 */
export function drivenPath(s: Strides): Strides {
  const corners: number[] = [];
  const from: number[] = [], to: number[] = [], time: number[] = [];
  const trackStart = new Uint32Array(s.trackStart.length);
  let track = -1;
  for (let i = 0; i < s.count; ) {
    while (track + 1 < s.trackStart.length && s.trackStart[track + 1] <= i) trackStart[++track] = from.length;
    const stop = track + 1 < s.trackStart.length ? s.trackStart[track + 1] : s.count;
    let end = i + 1;
    while (end < stop && s.from[end] === s.from[i] && s.to[end] === s.to[i]) end++;
    const [bx, by, fx, fy] = middle(s.corners, i, end);
    corners.push(bx, by, bx, by, fx, fy, fx, fy);
    from.push(s.from[i]);
    to.push(s.to[i]);
    time.push(s.time[i]);
    i = end;
  }
  const count = from.length;
  const unknown = new Float32Array(count).fill(NaN);
  return {
    count,
    trackStart,
    corners: Int32Array.from(corners),
    joins: new Uint8Array(count),
    from: Float64Array.from(from),
    to: Float64Array.from(to),
    time: Float64Array.from(time),
    rate: unknown,
    depth: unknown,
  };
}

/** Middle of the back and of the front bar of strides side by side, by width. */
function middle(c: Int32Array, first: number, end: number): [number, number, number, number] {
  let bx = 0, by = 0, fx = 0, fy = 0, sum = 0;
  for (let i = first; i < end; i++) {
    const o = 8 * i;
    const width = Math.hypot(c[o + 2] - c[o], c[o + 3] - c[o + 1]) || 1;
    bx += (width * (c[o] + c[o + 2])) / 2;
    by += (width * (c[o + 1] + c[o + 3])) / 2;
    fx += (width * (c[o + 4] + c[o + 6])) / 2;
    fy += (width * (c[o + 5] + c[o + 7])) / 2;
    sum += width;
  }
  return [bx / sum, by / sum, fx / sum, fy / sum].map(Math.round) as [number, number, number, number];
}
