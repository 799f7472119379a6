import { along, packed, rgb, share, step, type Palette } from "./colours";
import type { MapData } from "./data";
import type { Field } from "./field";
import type { Selection, Span } from "./levels";
import { Raster } from "./raster";
import type { View } from "./view";

// The layers made of strides: applied rate, times covered, depth. They are worked
// out dot by dot, so that what lies over one another adds up as it did in the field.

/** More dots than this to a pixel are not seen and cost time. */
const mostRatio = 1.5;

export class Fill {
  private raster: Raster | null = null;
  private readonly canvas = document.createElement("canvas");
  private image: ImageData | null = null;

  /** Spreads the selected strides over the dots of the picture, for one layer. */
  spread(layer: string, field: Field, s: Selection, view: View, ratio: number): void {
    const levels = field.strides;
    if (levels === null) return;
    const k = Math.min(ratio, mostRatio);
    const w = Math.max(1, Math.round(view.width * k));
    const h = Math.max(1, Math.round(view.height * k));
    if (this.raster === null || this.raster.width !== w || this.raster.height !== h) {
      this.raster = new Raster(w, h);
      this.canvas.width = w;
      this.canvas.height = h;
      this.image = new ImageData(w, h);
    }
    this.raster.clear(layer === "visits" ? "visits" : layer === "applied" ? "sum" : "least");
    const values = layer === "depth" ? s.depth : s.rate;
    const { from, to } = levels.strides;
    const quad = quadIn(levels.strides.corners, view, k, w, h);
    const order = byOdometer(s, from);
    // Merged strides may be off a little to either side. That must look neither
    // like ground covered twice nor like a gap: they count a little narrower, and
    // what is then bare beside them is filled.
    const play = s.off * view.scale * k;
    for (const i of order) {
      this.raster.cover(quad(s.first[i], s.last[i], -play), from[s.first[i]], to[s.last[i]], values[i]);
    }
    if (play === 0) return;
    for (const i of order) this.raster.coverBare(quad(s.first[i], s.last[i], play), values[i]);
  }

  /** Paints one layer over the picture. */
  paint(g: CanvasRenderingContext2D, layer: string, field: Field, p: Palette, view: View): void {
    const { raster, image } = this;
    if (raster === null || image === null) return;
    const dots = new Uint32Array(image.data.buffer);
    if (layer === "visits") paintVisits(dots, raster.visits, p);
    if (layer === "applied") paintValues(dots, raster, packedAll(rampOf(field.data, p.dark)), rateSpan(field.data));
    if (layer === "depth") paintValues(dots, raster, smooth(p.depth), field.depths);
    this.canvas.getContext("2d")?.putImageData(image, 0, 0);
    g.drawImage(this.canvas, 0, 0, view.width, view.height);
  }
}

/** Makes quads in dots of the raster, wider on both sides by so many dots. */
function quadIn(corners: Int32Array, view: View, k: number, w: number, h: number) {
  const scale = view.scale * k;
  const left = w / 2 - view.x * scale;
  const top = h / 2 + view.y * scale;
  const q = new Float64Array(8);
  return (first: number, last: number, wider: number): Float64Array => {
    for (let c = 0; c < 8; c += 2) {
      const o = 8 * (c < 4 ? first : last) + c;
      q[c] = left + corners[o] * scale;
      q[c + 1] = top - corners[o + 1] * scale;
    }
    if (wider !== 0) {
      widen(q, 0, 2, wider);
      widen(q, 6, 4, wider);
    }
    return q;
  };
}

/** Moves both ends of a bar outward, or inward but never to less than a third. */
function widen(q: Float64Array, a: number, b: number, by: number): void {
  const dx = q[b] - q[a], dy = q[b + 1] - q[a + 1];
  const length = Math.hypot(dx, dy);
  if (length === 0) return;
  const f = Math.max(by / length, -1 / 3);
  q[a] -= f * dx;
  q[a + 1] -= f * dy;
  q[b] += f * dx;
  q[b + 1] += f * dy;
}

export function rampOf(data: MapData, isDark: boolean): string[] {
  return isDark ? data.ramp.dark : data.ramp.light;
}

export function rateSpan(data: MapData): Span {
  return { low: data.lowRate, high: data.highRate };
}

/** Visits are counted in the order of the odometer, strides are kept by chains. */
function byOdometer(s: Selection, from: Float64Array): Uint32Array {
  const order = new Uint32Array(s.count);
  for (let i = 0; i < s.count; i++) order[i] = i;
  return order.sort((a, b) => from[s.first[a]] - from[s.first[b]] || a - b);
}

function paintVisits(dots: Uint32Array, visits: Uint8Array, p: Palette): void {
  const colours = p.visits.map((c) => packed(rgb(c)));
  for (let i = 0; i < dots.length; i++) {
    const n = visits[i];
    dots[i] = n === 0 ? 0 : colours[Math.min(n, colours.length) - 1];
  }
}

function packedAll(ramp: string[]): Uint32Array {
  return Uint32Array.from(ramp, (c) => packed(rgb(c)));
}

/** A ramp in so many steps that none is seen. */
function smooth(ramp: string[]): Uint32Array {
  const colours = ramp.map(rgb);
  return Uint32Array.from({ length: 64 }, (_, i) => packed(along(colours, i / 63)));
}

function paintValues(dots: Uint32Array, raster: Raster, ramp: Uint32Array, span: Span): void {
  const { visits, values } = raster;
  for (let i = 0; i < dots.length; i++) {
    const v = values[i];
    dots[i] = visits[i] === 0 || v !== v ? 0 : step(ramp, share(v, span.low, span.high));
  }
}
