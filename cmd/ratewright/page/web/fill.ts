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

  /** Spreads the selected strides over the dots of the picture. */
  spread(field: Field, s: Selection, view: View, ratio: number): void {
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
    this.raster.clear();
    const { corners, from, to } = levels.strides;
    const scale = view.scale * k;
    const left = w / 2 - view.x * scale;
    const top = h / 2 + view.y * scale;
    const q = new Float64Array(8);
    for (const i of byOdometer(s, from)) {
      const b = 8 * s.first[i], f = 8 * s.last[i];
      for (let c = 0; c < 8; c += 2) {
        const o = c < 4 ? b : f;
        q[c] = left + corners[o + c] * scale;
        q[c + 1] = top - corners[o + c + 1] * scale;
      }
      this.raster.cover(q, from[s.first[i]], to[s.last[i]], s.rate[i], s.depth[i]);
    }
  }

  /** Paints one layer over the picture. */
  paint(g: CanvasRenderingContext2D, layer: string, field: Field, p: Palette, view: View): void {
    const { raster, image } = this;
    if (raster === null || image === null) return;
    const dots = new Uint32Array(image.data.buffer);
    if (layer === "visits") paintVisits(dots, raster.visits, p);
    if (layer === "applied") paintValues(dots, raster, raster.rate, packedAll(rampOf(field.data, p.dark)), rateSpan(field.data));
    if (layer === "depth") paintValues(dots, raster, raster.depth, smooth(p.depth), field.depths);
    this.canvas.getContext("2d")?.putImageData(image, 0, 0);
    g.drawImage(this.canvas, 0, 0, view.width, view.height);
  }
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

function paintValues(dots: Uint32Array, raster: Raster, values: Float32Array, ramp: Uint32Array, span: Span): void {
  for (let i = 0; i < dots.length; i++) {
    const v = values[i];
    dots[i] = raster.visits[i] === 0 || v !== v ? 0 : step(ramp, share(v, span.low, span.high));
  }
}
