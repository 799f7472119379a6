import type { Palette } from "./colours";
import type { Box } from "./geometry";
import type { Levels } from "./levels";
import type { View } from "./view";

/** Pixels between arrows along the way. */
const arrowEvery = 90;

/** An arrow has a square of so many pixels for itself. */
const arrowRoom = 44;

/** Pixels of line to a square pixel above which lines would hide all below them. */
const dense = 0.08;

/** Draws the driven path with arrows; returns the number of its pieces. */
export function drawPath(g: CanvasRenderingContext2D, path: Levels, view: View, sight: Box, p: Palette, most: number): number {
  const arrows = Math.floor(most / 6);
  const s = path.select(sight, 0.6 / view.scale, most - arrows);
  const c = path.strides.corners;
  const heads: [number, number, number, number][] = [];
  const taken = new Set<number>();
  let way = arrowEvery / 2;
  let all = 0;
  g.beginPath();
  for (let i = 0; i < s.count; i++) {
    const b = 8 * s.first[i], f = 8 * s.last[i];
    const x0 = view.screenX(c[b]), y0 = view.screenY(c[b + 1]);
    const x1 = view.screenX(c[f + 6]), y1 = view.screenY(c[f + 7]);
    g.moveTo(x0, y0);
    g.lineTo(x1, y1);
    const length = Math.hypot(x1 - x0, y1 - y0);
    // Long pieces carry several arrows, short ones share one.
    for (let at = arrowEvery - way; at <= length && heads.length < arrows; at += arrowEvery) {
      const t = at / length;
      const x = x0 + t * (x1 - x0), y = y0 + t * (y1 - y0);
      if (x < 0 || y < 0 || x > view.width || y > view.height) continue;
      const room = Math.floor(x / arrowRoom) + 4096 * Math.floor(y / arrowRoom);
      if (taken.has(room)) continue;
      taken.add(room);
      heads.push([x, y, (x1 - x0) / length, (y1 - y0) / length]);
    }
    all += length;
    way = (way + length) % arrowEvery;
  }
  g.lineCap = "round";
  g.lineJoin = "round";
  g.strokeStyle = p.path;
  const crowd = all / (view.width * view.height) / dense;
  g.lineWidth = crowd > 1 ? 0.75 : 1.25;
  g.globalAlpha = Math.max(0.35, Math.min(1, 1 / crowd));
  g.stroke();
  g.globalAlpha = 1;
  drawHeads(g, heads, p);
  return s.count + heads.length;
}

function drawHeads(g: CanvasRenderingContext2D, heads: [number, number, number, number][], p: Palette): void {
  g.beginPath();
  for (const [x, y, dx, dy] of heads) {
    g.moveTo(x + 5 * dx, y + 5 * dy);
    g.lineTo(x - 4 * dx - 4 * dy, y - 4 * dy + 4 * dx);
    g.lineTo(x - 4 * dx + 4 * dy, y - 4 * dy - 4 * dx);
    g.closePath();
  }
  g.strokeStyle = p.halo;
  g.lineWidth = 2;
  g.stroke();
  g.fillStyle = p.path;
  g.fill();
}
