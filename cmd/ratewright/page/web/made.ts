import type { Strides } from "./data";

// Made-up strides for the tests.

/** A corner list of one quad: back left, back right, front right, front left. */
export type Quad = [number, number, number, number, number, number, number, number];

export interface Made {
  quad: Quad;
  from: number;
  to: number;
  time?: number;
  rate?: number;
  depth?: number;
}

export function strides(tracks: Made[][]): Strides {
  const all = tracks.flat();
  const value = (key: "time" | "rate" | "depth") => all.map((m) => m[key] ?? NaN);
  let start = 0;
  const trackStart = tracks.map((t) => (start += t.length) - t.length);
  const corners = Int32Array.from(all.flatMap((m) => m.quad));
  return {
    count: all.length,
    trackStart: Uint32Array.from(trackStart),
    corners,
    joins: Uint8Array.from(all, (m, i) => (i > 0 && !trackStart.includes(i) && joined(all[i - 1].quad, m.quad) ? 1 : 0)),
    from: Float64Array.from(all, (m) => m.from),
    to: Float64Array.from(all, (m) => m.to),
    time: Float64Array.from(value("time")),
    rate: Float32Array.from(value("rate")),
    depth: Float32Array.from(value("depth")),
  };
}

function joined(a: Quad, b: Quad): boolean {
  return a[6] === b[0] && a[7] === b[1] && a[4] === b[2] && a[5] === b[3];
}

/** Straight passes up and down, side by side: `bars` strides each of 2 m by 10 m. */
export function passes(count: number, bars: number, sections = 1): Made[] {
  const all: Made[] = [];
  let way = 0;
  for (let p = 0; p < count; p++) {
    for (let i = 0; i < bars; i++) {
      const up = p % 2 === 0;
      const y0 = 200 * (up ? i : bars - i), y1 = up ? y0 + 200 : y0 - 200;
      for (let s = 0; s < sections; s++) {
        const w = 1000 / sections;
        const a = 1000 * p + w * s, b = a + w;
        const [l, r] = up ? [a, b] : [b, a];
        all.push({ quad: [l, y0, r, y0, r, y1, l, y1], from: way, to: way + 100, time: i, rate: 150, depth: 4 });
      }
      way += 100;
    }
    way += 5000;
  }
  return all;
}

/** Packs strides as the program does. */
export function pack(s: Strides): Uint8Array {
  const columns: number[][] = Array.from({ length: 14 }, () => []);
  const unsigned = (c: number, v: number) => {
    for (; v >= 128; v = Math.floor(v / 128)) columns[c].push((v % 128) + 128);
    columns[c].push(v);
  };
  const signed = (c: number, v: number) => unsigned(c, v >= 0 ? 2 * v : -2 * v - 1);
  const last = [0, 0, 0];
  const known = (which: number, v: number, parts: number) => {
    if (Number.isNaN(v)) return unsigned(11 + which, 0);
    const whole = Math.round(v * parts), step = whole - last[which];
    last[which] = whole;
    unsigned(11 + which, 1 + (step >= 0 ? 2 * step : -2 * step - 1));
  };
  const start = [0, 0, 0, 0];
  let end = 0;
  for (let i = 0; i < s.count; i++) {
    const q = [...s.corners.subarray(8 * i, 8 * i + 8)];
    let [x, y] = q;
    unsigned(0, s.joins[i]);
    if (s.joins[i]) {
      x += q[0] - s.corners[8 * i - 8];
      y += q[1] - s.corners[8 * i - 7];
    } else {
      for (let k = 0; k < 4; k++) {
        signed(1 + k, q[k] - start[k]);
        start[k] = q[k];
      }
    }
    signed(5, q[6] - x);
    signed(6, q[7] - y);
    signed(7, q[4] - (q[6] + q[2] - q[0]));
    signed(8, q[5] - (q[7] + q[3] - q[1]));
    signed(9, s.from[i] - end);
    signed(10, s.to[i] - s.from[i]);
    end = s.to[i];
    known(0, s.time[i], 10);
    known(1, s.rate[i], 100);
    known(2, s.depth[i], 100);
  }
  const long = (v: number) => [v & 255, (v >> 8) & 255, (v >> 16) & 255, v >>> 24];
  const bytes = [...long(s.count), ...long(s.trackStart.length), ...[...s.trackStart].flatMap(long)];
  for (const c of columns) {
    bytes.push(...long(c.length));
    for (const b of c) bytes.push(b);
  }
  return Uint8Array.from(bytes);
}
