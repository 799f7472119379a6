import { meets, type Box, type Ring, type Shape } from "./geometry";
import type { View } from "./view";

/** Counts what a frame draws and says when that is enough. */
export class Counter {
  total = 0;

  constructor(readonly most: number) {}

  /** How many more there may be. */
  get left(): number {
    return Math.max(0, this.most - this.total);
  }

  /** Whether one more may be drawn; if so it is counted. */
  one(): boolean {
    if (this.total >= this.most) return false;
    this.total++;
    return true;
  }
}

/**
 * Adds the rings in sight to the present path, without vertices closer together
 * than can be seen. A ring that is less than a dot is left out.
 */
export function trace(g: CanvasRenderingContext2D, s: Shape, view: View, sight: Box, n: Counter): void {
  if (!meets(s.box, sight)) return;
  for (const r of s.rings) {
    if (!meets(r.box, sight)) continue;
    if (Math.max(r.box.x1 - r.box.x0, r.box.y1 - r.box.y0) * view.scale < 0.4) continue;
    if (!n.one()) return;
    traceRing(g, r, view);
  }
}

function traceRing(g: CanvasRenderingContext2D, r: Ring, view: View): void {
  const { xy } = r;
  if (xy.length === 0) return;
  let wasX = NaN, wasY = NaN;
  for (let i = 0; i < xy.length; i += 2) {
    const x = view.screenX(xy[i]), y = view.screenY(xy[i + 1]);
    if (i === 0) g.moveTo(x, y);
    else if (Math.abs(x - wasX) < 0.5 && Math.abs(y - wasY) < 0.5) continue;
    else g.lineTo(x, y);
    wasX = x;
    wasY = y;
  }
  // Not closePath, which takes the longer the more rings a path has.
  g.lineTo(view.screenX(xy[0]), view.screenY(xy[1]));
}
