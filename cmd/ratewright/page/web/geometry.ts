import type { PackedRing, PackedShape } from "./data";

/** Bounds in centimetres. */
export interface Box {
  x0: number;
  y0: number;
  x1: number;
  y1: number;
}

/** A ring as x0, y0, x1, y1, …, not closed, with its bounds and its area in cm², signed by its turn. */
export interface Ring {
  xy: Float64Array;
  box: Box;
  area: number;
  /** Whether it lies in another one. */
  hole: boolean;
}

/** Ground: its rings of all polygons. What lies in an odd number of them is inside. */
export interface Shape {
  rings: Ring[];
  box: Box;
  /** How wide a strip of its area and edge would be. */
  widthCm: number;
}

export function emptyBox(): Box {
  return { x0: Infinity, y0: Infinity, x1: -Infinity, y1: -Infinity };
}

export function addBox(to: Box, b: Box): void {
  to.x0 = Math.min(to.x0, b.x0);
  to.y0 = Math.min(to.y0, b.y0);
  to.x1 = Math.max(to.x1, b.x1);
  to.y1 = Math.max(to.y1, b.y1);
}

export function meets(a: Box, b: Box): boolean {
  return a.x0 <= b.x1 && a.x1 >= b.x0 && a.y0 <= b.y1 && a.y1 >= b.y0;
}

export function isEmpty(b: Box): boolean {
  return !(b.x1 >= b.x0 && b.y1 >= b.y0);
}

export function unpackRing(packed: PackedRing): Ring {
  const xy = new Float64Array(packed.length);
  const box = emptyBox();
  let x = 0, y = 0;
  for (let i = 0; i + 1 < packed.length; i += 2) {
    x += packed[i];
    y += packed[i + 1];
    xy[i] = x;
    xy[i + 1] = y;
    addBox(box, { x0: x, y0: y, x1: x, y1: y });
  }
  let area = 0;
  for (let i = 0, j = xy.length - 2; i < xy.length; j = i, i += 2) area += (xy[j] * xy[i + 1] - xy[i] * xy[j + 1]) / 2;
  return { xy, box, area, hole: false };
}

export function unpackShape(packed: PackedShape | null | undefined): Shape {
  const shape: Shape = { rings: [], box: emptyBox(), widthCm: 0 };
  let area = 0, edge = 0;
  for (const polygon of packed ?? []) {
    for (const [i, packedRing] of polygon.entries()) {
      const ring = unpackRing(packedRing);
      ring.hole = i > 0;
      shape.rings.push(ring);
      addBox(shape.box, ring.box);
      area += i === 0 ? Math.abs(ring.area) : -Math.abs(ring.area);
      edge += lengthOf(ring.xy);
    }
  }
  if (edge > 0) shape.widthCm = (2 * area) / edge;
  return shape;
}

function lengthOf(xy: Float64Array): number {
  let sum = 0;
  for (let i = 0, j = xy.length - 2; i < xy.length; j = i, i += 2) sum += Math.hypot(xy[i] - xy[j], xy[i + 1] - xy[j + 1]);
  return sum;
}

export function inRing(r: Ring, x: number, y: number): boolean {
  const { xy } = r;
  let inside = false;
  for (let i = 0, j = xy.length - 2; i < xy.length; j = i, i += 2) {
    if (xy[i + 1] > y !== xy[j + 1] > y) {
      const at = xy[i] + ((y - xy[i + 1]) / (xy[j + 1] - xy[i + 1])) * (xy[j] - xy[i]);
      if (x < at) inside = !inside;
    }
  }
  return inside;
}

export function inShape(s: Shape, x: number, y: number): boolean {
  const b = s.box;
  if (x < b.x0 || x > b.x1 || y < b.y0 || y > b.y1) return false;
  let inside = false;
  for (const r of s.rings) if (inRing(r, x, y)) inside = !inside;
  return inside;
}

/** Distance from a point to a stretch of line. */
export function toSegment(px: number, py: number, ax: number, ay: number, bx: number, by: number): number {
  const dx = bx - ax, dy = by - ay;
  const length2 = dx * dx + dy * dy;
  let t = length2 > 0 ? ((px - ax) * dx + (py - ay) * dy) / length2 : 0;
  t = t < 0 ? 0 : t > 1 ? 1 : t;
  return Math.hypot(px - ax - t * dx, py - ay - t * dy);
}

/** Distance from a point to the nearest edge of the ground. */
export function toEdge(s: Shape, x: number, y: number): number {
  let best = Infinity;
  for (const { xy } of s.rings) {
    for (let i = 0, j = xy.length - 2; i < xy.length; j = i, i += 2) {
      const d = toSegment(x, y, xy[j], xy[j + 1], xy[i], xy[i + 1]);
      if (d < best) best = d;
    }
  }
  return best;
}

/** A place inside ground with its distance to the nearest edge. */
export interface Room {
  x: number;
  y: number;
  clear: number;
}

/**
 * Places inside the ground where a label may stand, the one with most room first.
 * Several, so that a label is found also where only a part is in sight.
 */
export function rooms(s: Shape, most: number): Room[] {
  if (isEmpty(s.box)) return [];
  const { x0, y0, x1, y1 } = s.box;
  const vertices = s.rings.reduce((n, r) => n + r.xy.length / 2, 0);
  // An outline of very many vertices gets a coarser grid: this runs before the
  // first picture.
  const n = vertices > 2000 ? 8 : vertices > 300 ? 12 : 20;
  const found: Room[] = [];
  for (let i = 0; i < n; i++) {
    for (let j = 0; j < n; j++) {
      const x = x0 + ((i + 0.5) / n) * (x1 - x0);
      const y = y0 + ((j + 0.5) / n) * (y1 - y0);
      if (inShape(s, x, y)) found.push({ x, y, clear: toEdge(s, x, y) });
    }
  }
  found.sort((a, b) => b.clear - a.clear);
  const best = found[0];
  if (best === undefined) return [];
  refine(s, best, Math.max(x1 - x0, y1 - y0) / n);
  return found.slice(0, most);
}

/** Moves a place to more room, by smaller and smaller steps. */
function refine(s: Shape, room: Room, step: number): void {
  for (let round = 0; round < 24 && step > 10; round++) {
    let better = false;
    for (const [dx, dy] of [[1, 0], [-1, 0], [0, 1], [0, -1], [1, 1], [1, -1], [-1, 1], [-1, -1]]) {
      const x = room.x + dx * step, y = room.y + dy * step;
      if (!inShape(s, x, y)) continue;
      const clear = toEdge(s, x, y);
      if (clear > room.clear) {
        room.x = x;
        room.y = y;
        room.clear = clear;
        better = true;
      }
    }
    if (!better) step /= 2;
  }
}

/** Whether a point is in the quad at an offset of eight corner numbers. */
export function inQuad(c: Int32Array, o: number, x: number, y: number): boolean {
  let inside = false;
  for (let i = 0, j = 6; i < 8; j = i, i += 2) {
    const xi = c[o + i], yi = c[o + i + 1], xj = c[o + j], yj = c[o + j + 1];
    if (yi > y !== yj > y && x < xi + ((y - yi) / (yj - yi)) * (xj - xi)) inside = !inside;
  }
  return inside;
}

export function quadArea(c: Int32Array, o: number): number {
  let sum = 0;
  for (let i = 0, j = 6; i < 8; j = i, i += 2) sum += c[o + j] * c[o + i + 1] - c[o + i] * c[o + j + 1];
  return Math.abs(sum) / 2;
}
