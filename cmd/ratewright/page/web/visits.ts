import type { Strides } from "./data";
import { inQuad } from "./geometry";
import type { Levels } from "./levels";

/** A machine comes back where it starts more than this beyond the end of all before. */
export const visitGap = 1000;

/** One separate time a spot was covered. */
export interface Visit {
  strides: number[];
  /** The greatest end on the odometer. */
  to: number;
  time: number;
  /** Put down: the sum over its strides; NaN if one of them is not known. */
  rate: number;
  /** The least depth of its strides; NaN if none is known. */
  depth: number;
}

/** Strides over a spot. */
export function stridesAt(levels: Levels, x: number, y: number): number[] {
  const over: number[] = [];
  levels.near({ x0: x, y0: y, x1: x, y1: y }, (i) => {
    if (inQuad(levels.strides.corners, 8 * i, x, y)) over.push(i);
  });
  return over;
}

/** Parts strides over one spot into visits, first to last. */
export function visits(s: Strides, over: number[]): Visit[] {
  const sorted = over.slice().sort((a, b) => s.from[a] - s.from[b] || a - b);
  const all: Visit[] = [];
  let v: Visit | undefined;
  for (const i of sorted) {
    if (v === undefined || s.from[i] > v.to + visitGap) {
      v = { strides: [], to: -Infinity, time: NaN, rate: 0, depth: NaN };
      all.push(v);
    }
    v.strides.push(i);
    v.to = Math.max(v.to, s.to[i]);
    if (Number.isNaN(v.time)) v.time = s.time[i];
    v.rate += s.rate[i];
    if (!(s.depth[i] >= v.depth)) v.depth = Number.isNaN(s.depth[i]) ? v.depth : s.depth[i];
  }
  return all;
}
