import { visitGap } from "./visits";

/** What a raster keeps of each dot besides that it is covered. */
export type Keep = "visits" | "sum" | "least";

/**
 * What covers each dot of the picture: how many visits, or the sum of the values
 * there, or the least. For visits quads must come in the order of the odometer. A dot belongs to the
 * quad over its middle, so quads with a side in common leave no seam and never
 * count twice.
 */
export class Raster {
  readonly visits: Uint8Array;
  readonly values: Float32Array;
  private keep: Keep = "visits";
  private readonly end: Float64Array;
  private readonly cuts = new Float64Array(4);
  /** Of the four sides: x and y of the upper end, y of the lower, x for each y. */
  private readonly sides = new Float64Array(16);
  private firstRow = 0;

  constructor(
    readonly width: number,
    readonly height: number,
  ) {
    const n = width * height;
    this.visits = new Uint8Array(n);
    this.values = new Float32Array(n);
    this.end = new Float64Array(n);
  }

  clear(keep: Keep): void {
    this.keep = keep;
    this.visits.fill(0);
    if (keep === "visits") this.end.fill(-Infinity);
    else this.values.fill(keep === "sum" ? 0 : NaN);
  }

  /** Covers the dots of a quad; corners in dots, y down, in turn around it. */
  cover(q: Float64Array, from: number, to: number, value: number): void {
    const lastRow = this.begin(q);
    for (let row = this.firstRow; row <= lastRow; row++) {
      const cuts = this.cutsAt(row + 0.5);
      for (let c = 0; c + 1 < cuts; c += 2) {
        this.coverRow(this.dot(row, this.cuts[c]), this.dot(row, this.cuts[c + 1]), from, to, value);
      }
    }
  }

  /** Covers those dots of a quad that nothing has covered. */
  coverBare(q: Float64Array, value: number): void {
    const lastRow = this.begin(q);
    for (let row = this.firstRow; row <= lastRow; row++) {
      const cuts = this.cutsAt(row + 0.5);
      for (let c = 0; c + 1 < cuts; c += 2) {
        const stop = this.dot(row, this.cuts[c + 1]);
        for (let p = this.dot(row, this.cuts[c]); p < stop; p++) {
          if (this.visits[p] > 0) continue;
          this.visits[p] = 1;
          this.values[p] = value;
        }
      }
    }
  }

  private coverRow(start: number, stop: number, from: number, to: number, value: number): void {
    if (this.keep === "visits") this.countRow(start, stop, from, to);
    else if (this.keep === "sum") this.sumRow(start, stop, value);
    else this.leastRow(start, stop, value);
  }

  private countRow(start: number, stop: number, from: number, to: number): void {
    const { visits, end } = this;
    for (let p = start; p < stop; p++) {
      if (from > end[p] + visitGap) {
        if (visits[p] < 255) visits[p]++;
        end[p] = to;
      } else if (to > end[p]) {
        end[p] = to;
      }
    }
  }

  private sumRow(start: number, stop: number, value: number): void {
    const { visits, values } = this;
    for (let p = start; p < stop; p++) {
      visits[p] = 1;
      values[p] += value;
    }
  }

  private leastRow(start: number, stop: number, value: number): void {
    const { visits, values } = this;
    for (let p = start; p < stop; p++) {
      visits[p] = 1;
      if (!(values[p] <= value)) values[p] = value === value ? value : values[p];
    }
  }

  /** The first dot of a row whose middle is not left of x. */
  private dot(row: number, x: number): number {
    const at = Math.ceil(x - 0.5);
    return row * this.width + (at < 0 ? 0 : at > this.width ? this.width : at);
  }

  /**
   * Makes the sides of a quad ready to be cut by rows and returns the last row. A
   * side always runs from its upper end: the neighbour that has it in common must
   * find the same numbers.
   */
  private begin(q: Float64Array): number {
    let top = Infinity, bottom = -Infinity;
    for (let i = 0, s = 0; i < 8; i += 2, s += 4) {
      const j = (i + 2) & 7;
      const down = q[i + 1] <= q[j + 1];
      const a = down ? i : j, b = down ? j : i;
      const ay = q[a + 1], by = q[b + 1];
      this.sides[s] = q[a];
      this.sides[s + 1] = ay;
      this.sides[s + 2] = by;
      this.sides[s + 3] = by > ay ? (q[b] - q[a]) / (by - ay) : 0;
      if (ay < top) top = ay;
      if (by > bottom) bottom = by;
    }
    this.firstRow = Math.max(0, Math.ceil(top - 0.5));
    return Math.min(this.height - 1, Math.ceil(bottom - 0.5) - 1);
  }

  /** Where the sides cross a line, from left to right. */
  private cutsAt(y: number): number {
    const { cuts, sides } = this;
    let n = 0;
    for (let s = 0; s < 16; s += 4) {
      if (sides[s + 1] > y || sides[s + 2] <= y) continue;
      let x = sides[s] + (y - sides[s + 1]) * sides[s + 3];
      for (let k = 0; k < n; k++) {
        if (cuts[k] <= x) continue;
        const swap = cuts[k];
        cuts[k] = x;
        x = swap;
      }
      cuts[n++] = x;
    }
    return n;
  }
}
