import { inkOn, type Palette } from "./colours";
import type { Zone } from "./field";
import type { Room } from "./geometry";
import type { View } from "./view";

export const font = "system-ui, -apple-system, 'Segoe UI', Roboto, sans-serif";

/** Keeps labels off one another. */
export class Places {
  private readonly taken: [number, number, number, number][] = [];

  /** Takes a place around a point; false if something is there already. */
  take(x: number, y: number, w: number, h: number): boolean {
    const box: [number, number, number, number] = [x - w / 2, y - h / 2, x + w / 2, y + h / 2];
    if (this.taken.some((t) => t[0] < box[2] && t[2] > box[0] && t[1] < box[3] && t[3] > box[1])) return false;
    this.taken.push(box);
    return true;
  }
}

export function text(g: CanvasRenderingContext2D, p: Palette, words: string, x: number, y: number): void {
  g.lineJoin = "round";
  g.lineWidth = 4;
  g.strokeStyle = p.halo;
  g.strokeText(words, x, y);
  g.fillStyle = p.ink;
  g.fillText(words, x, y);
}

export const rateSizes = [26, 20, 15, 12];
export const nameSizes = [13];

/** Where a label stands: its middle, its size, and how far it is to the nearest edge of its zone. */
export interface Printed {
  x: number;
  y: number;
  size: number;
  clear: number;
}

/**
 * Prints a zone's rate or name where it has room; null if it has none in sight. On
 * ground of one colour it needs no halo.
 */
export function zoneLabel(
  g: CanvasRenderingContext2D, p: Palette, z: Zone, view: View, places: Places, ground: string | null, words: string, sizes: number[],
): Printed | null {
  if (words === "") return null;
  const room = roomInSight(z.rooms, view);
  if (room === null) return null;
  const fits = room.clear * view.scale; // pixels to the nearest edge
  for (const size of sizes) {
    g.font = `600 ${size}px ${font}`;
    const w = g.measureText(words).width;
    if (Math.hypot(w, size) / 2 > fits) continue;
    const x = view.screenX(room.x), y = view.screenY(room.y);
    if (!places.take(x, y, w + 4, size + 2)) return null;
    g.textAlign = "center";
    g.textBaseline = "middle";
    on(g, p, ground, words, x, y);
    return { x, y, size, clear: fits };
  }
  return null;
}

/** Prints the name of a zone below its rate, where there is room; the roomiest place is a circle. */
export function nameBelow(
  g: CanvasRenderingContext2D, p: Palette, view: View, places: Places, ground: string | null, words: string, at: Printed,
): boolean {
  if (words === "") return false;
  const size = 13;
  g.font = `${size}px ${font}`;
  const w = g.measureText(words).width, y = at.y + (at.size + size) / 2 + 1;
  if (Math.hypot(w / 2, y + size / 2 - at.y) > at.clear || y + size / 2 > view.height) return false;
  if (!places.take(at.x, y, w + 4, size)) return false;
  on(g, p, ground, words, at.x, y);
  return true;
}

function on(g: CanvasRenderingContext2D, p: Palette, ground: string | null, words: string, x: number, y: number): void {
  if (ground === null) {
    text(g, p, words, x, y);
    return;
  }
  g.fillStyle = inkOn(ground);
  g.fillText(words, x, y);
}

/** The roomiest place that is in the picture, counting the picture's own edges. */
function roomInSight(rooms: Room[], view: View): Room | null {
  let best: Room | null = null;
  for (const r of rooms) {
    const x = view.screenX(r.x), y = view.screenY(r.y);
    const edge = Math.min(x, y, view.width - x, view.height - y) / view.scale;
    const clear = Math.min(r.clear, edge);
    if (clear > 0 && (best === null || clear > best.clear)) best = { x: r.x, y: r.y, clear };
  }
  return best;
}

const badgeRadius = 9;

/** How wide a mark is. */
export function badgeWidth(g: CanvasRenderingContext2D, mark: string): number {
  g.font = `700 11px ${font}`;
  return Math.max(2 * badgeRadius, g.measureText(mark).width + 9);
}

/** The mark of a patch, on a ground with round ends. */
export function badge(g: CanvasRenderingContext2D, p: Palette, mark: string, colour: string, x: number, y: number): void {
  const d = badgeWidth(g, mark) / 2 - badgeRadius;
  g.beginPath();
  g.arc(x - d, y, badgeRadius, Math.PI / 2, 1.5 * Math.PI);
  g.arc(x + d, y, badgeRadius, -Math.PI / 2, Math.PI / 2);
  g.closePath();
  g.fillStyle = p.halo;
  g.fill();
  g.lineWidth = 2;
  g.strokeStyle = colour;
  g.stroke();
  g.font = `700 11px ${font}`;
  g.textAlign = "center";
  g.textBaseline = "middle";
  g.fillStyle = p.ink;
  g.fillText(mark, x, y + 0.5);
}

/** From a mark to its patch, where it has no room on it. */
export function leader(g: CanvasRenderingContext2D, p: Palette, colour: string, from: [number, number], to: [number, number]): void {
  for (const [width, ink] of [[4, p.halo], [1.75, colour]] as const) {
    g.lineWidth = width;
    g.strokeStyle = ink;
    g.beginPath();
    g.moveTo(...from);
    g.lineTo(...to);
    g.stroke();
  }
}

/** Lengths for the scale bar: the largest round one that fits. */
export function roundLength(most: number): number {
  const power = 10 ** Math.floor(Math.log10(most));
  for (const k of [5, 2, 1]) if (k * power <= most) return k * power;
  return power;
}

/** North and the scale bar in metres and feet, in the lower left corner, below the field. */
export function scaleAndNorth(g: CanvasRenderingContext2D, p: Palette, view: View): void {
  const x = 40, y = view.height - 26;
  // The buttons are in the other corner.
  const most = Math.max(40, Math.min(140, view.width - 256));
  const metre = view.scale * 100, foot = metre * 0.3048;
  const metres = roundLength(most / metre), feet = roundLength(most / foot);
  g.lineCap = "butt";
  g.font = `12px ${font}`;
  g.textAlign = "left";
  const bars: [number, number][] = [[metres * metre, -5], [feet * foot, 5]];
  for (const [width, colour] of [[5, p.halo], [2, p.ink]] as const) {
    g.lineWidth = width;
    g.strokeStyle = colour;
    for (const [length, tick] of bars) bar(g, x, y, length, tick);
  }
  // Each at the end of its own bar, clear of the line that both share.
  g.textBaseline = "bottom";
  text(g, p, `${number(metres)} m`, x + metres * metre + 6, y - 2);
  g.textBaseline = "top";
  text(g, p, `${number(feet)} ft`, x + feet * foot + 6, y + 3);
  north(g, p, x - 18, y - 3);
}

function bar(g: CanvasRenderingContext2D, x: number, y: number, length: number, tick: number): void {
  g.beginPath();
  g.moveTo(x, y + tick);
  g.lineTo(x, y);
  g.lineTo(x + length, y);
  g.lineTo(x + length, y + tick);
  g.stroke();
}

function north(g: CanvasRenderingContext2D, p: Palette, x: number, y: number): void {
  g.beginPath();
  g.moveTo(x, y - 4);
  g.lineTo(x + 7, y + 16);
  g.lineTo(x, y + 11);
  g.lineTo(x - 7, y + 16);
  g.closePath();
  g.lineWidth = 3;
  g.strokeStyle = p.halo;
  g.stroke();
  g.fillStyle = p.ink;
  g.fill();
  g.font = `700 12px ${font}`;
  g.textAlign = "center";
  g.textBaseline = "bottom";
  text(g, p, "N", x, y - 5);
}

export function number(v: number): string {
  return v >= 1 ? v.toLocaleString("en-US") : String(Number(v.toPrecision(2)));
}
