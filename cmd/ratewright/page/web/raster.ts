import { visitGap } from "./visits";

/**
 * What covers each dot of the picture: how many visits, how much in all, how deep
 * at least. Quads must come in the order of the odometer. A dot belongs to the
 * quad over its middle, so quads with a side in common leave no seam and never
 * count twice.
 */
export class Raster {
  readonly visits: Uint8Array;
  readonly rate: Float32Array;
  readonly depth: Float32Array;
  private readonly end: Float64Array;
  private readonly cuts = new Float64Array(4);

  constructor(
    readonly width: number,
    readonly height: number,
  ) {
    const n = width * height;
    this.visits = new Uint8Array(n);
    this.rate = new Float32Array(n);
    this.depth = new Float32Array(n);
    this.end = new Float64Array(n);
  }

  clear(): void {
    this.visits.fill(0);
    this.rate.fill(0);
    this.depth.fill(NaN);
    this.end.fill(-Infinity);
  }

  /** Covers the dots of a quad; corners in dots, y down, in turn around it. */
  cover(q: Float64Array, from: number, to: number, rate: number, depth: number): void {
    const top = Math.min(q[1], q[3], q[5], q[7]);
    const bottom = Math.max(q[1], q[3], q[5], q[7]);
    const firstRow = Math.max(0, Math.ceil(top - 0.5));
    const lastRow = Math.min(this.height - 1, Math.ceil(bottom - 0.5) - 1);
    for (let row = firstRow; row <= lastRow; row++) {
      const cuts = this.cutsAt(q, row + 0.5);
      for (let c = 0; c + 1 < cuts; c += 2) {
        const start = Math.max(0, Math.ceil(this.cuts[c] - 0.5));
        const stop = Math.min(this.width, Math.ceil(this.cuts[c + 1] - 0.5));
        this.coverRow(row * this.width + start, row * this.width + stop, from, to, rate, depth);
      }
    }
  }

  private coverRow(start: number, stop: number, from: number, to: number, rate: number, depth: number): void {
    const { visits, end } = this;
    const depthKnown = depth === depth;
    for (let p = start; p < stop; p++) {
      if (from > end[p] + visitGap) {
        if (visits[p] < 255) visits[p]++;
        if (to > end[p]) end[p] = to;
      } else if (to > end[p]) {
        end[p] = to;
      }
      this.rate[p] += rate;
      if (depthKnown && !(this.depth[p] <= depth)) this.depth[p] = depth;
    }
  }

  /** Where the sides of the quad cross a line, from left to right. */
  private cutsAt(q: Float64Array, y: number): number {
    const { cuts } = this;
    let n = 0;
    for (let i = 0; i < 8; i += 2) {
      let ax = q[i], ay = q[i + 1], bx = q[(i + 2) & 7], by = q[(i + 3) & 7];
      if (ay > y === by > y) continue;
      // Always from the upper to the lower end: the neighbour with the same side
      // must find the same number.
      if (ay > by) [ax, ay, bx, by] = [bx, by, ax, ay];
      let x = ax + ((y - ay) / (by - ay)) * (bx - ax);
      for (let k = 0; k < n; k++) if (cuts[k] > x) [cuts[k], x] = [x, cuts[k]];
      cuts[n++] = x;
    }
    return n;
  }
}
