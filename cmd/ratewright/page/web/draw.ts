import { share, step, type Palette } from "./colours";
import type { FindingKind } from "./data";
import type { Field, Patch } from "./field";
import { Fill, rampOf } from "./fill";
import { meets, type Box } from "./geometry";
import { badge, badgeWidth, leader, nameBelow, nameSizes, Places, rateSizes, scaleAndNorth, zoneLabel } from "./labels";
import type { Layers } from "./layers";
import { Counter, trace } from "./outline";
import { drawPath } from "./path";
import { Patterns } from "./patterns";
import type { View } from "./view";

/** At most this many quads, outlines, labels and path pieces a frame. */
export const mostPrimitives = 15000;

// Shares of that number, so that no layer takes what another needs.
const mostOutlines = 1500;
const mostPatchOutlines = 6500;
const mostLabels = 400;
const mostPathPieces = 2500;

/** What is pointed at, beyond the layers. */
export interface Marks {
  chosen: Patch | null;
  spot: { x: number; y: number } | null;
  cross: boolean;
}

interface Seen {
  kind: FindingKind;
  patches: Patch[];
  outlines: Counter;
}

export class Drawing {
  private readonly fill = new Fill();
  private patterns = new Patterns(1);

  constructor(
    private readonly g: CanvasRenderingContext2D,
    private readonly field: Field,
  ) {}

  /** Draws a frame and returns how many primitives it took. */
  frame(view: View, layers: Layers, p: Palette, ratio: number, marks: Marks): number {
    const { g } = this;
    if (this.patterns.ratio !== ratio) this.patterns = new Patterns(ratio);
    const n = new Counter(mostPrimitives);
    const sight = view.sight();
    g.setTransform(ratio, 0, 0, ratio, 0, 0);
    g.fillStyle = p.paper;
    g.fillRect(0, 0, view.width, view.height);

    // Labels and findings are drawn last but always have their place in the count.
    const findings = this.seen(sight, layers);
    const patchOutlines = findings.reduce((sum, f) => sum + f.outlines.most, 0);
    const quads = mostPrimitives - mostOutlines - patchOutlines - mostLabels - (layers.on("path") ? mostPathPieces : 0);
    const outlines = new Counter(mostOutlines);
    this.ground(view, sight, p, outlines);
    for (const layer of layers.filling()) {
      if (layer === "prescribed") this.prescribed(view, sight, p, outlines);
      if (layer === "choice") this.choices(view, sight, p, outlines);
    }
    n.total += this.filled(view, sight, layers, p, ratio, quads, outlines);
    if (layers.on("zones")) this.lines(view, sight, p, outlines);
    if (layers.on("offlimits")) this.offLimits(view, sight, p, outlines);
    for (const f of findings.reverse()) n.total += this.finding(f, view, sight, p);
    if (layers.on("path") && this.field.path !== null) n.total += drawPath(g, this.field.path, view, sight, p, mostPathPieces);
    if (layers.on("boundary")) this.boundary(view, sight, p, outlines);
    const labels = new Counter(mostLabels);
    this.labels(view, sight, layers, p, labels, marks);
    return n.total + outlines.total + labels.total;
  }

  private ground(view: View, sight: Box, p: Palette, n: Counter): void {
    const { g } = this;
    g.beginPath();
    trace(g, this.field.boundary, view, sight, n);
    g.fillStyle = p.ground;
    g.fill("evenodd");
  }

  private prescribed(view: View, sight: Box, p: Palette, n: Counter): void {
    const { g, field } = this;
    for (const z of field.zones) {
      if (z.data.rate === null || !meets(z.shape.box, sight)) continue;
      g.beginPath();
      trace(g, z.shape, view, sight, n);
      g.fillStyle = this.rateColour(z.data.rate, p);
      g.fill("evenodd");
    }
  }

  /** Ground by what it gets: zones of a choice are one path. */
  private choices(view: View, sight: Box, p: Palette, n: Counter): void {
    const { g, field } = this;
    for (const c of field.data.choices) {
      g.beginPath();
      for (const z of field.zones) if (field.choiceOf(z) === c && meets(z.shape.box, sight)) trace(g, z.shape, view, sight, n);
      g.fillStyle = p.halo;
      g.fill("evenodd");
      g.fillStyle = this.patterns.get(g, c.pattern, p.dark ? c.dark : c.light, view.screenX(0), view.screenY(0));
      g.fill("evenodd");
    }
  }

  private rateColour(rate: number, p: Palette): string {
    const { data } = this.field;
    return step(rampOf(data, p.dark), share(rate, data.lowRate, data.highRate));
  }

  /** The layer made of strides that was switched on last; those below are not seen. */
  private filled(view: View, sight: Box, layers: Layers, p: Palette, ratio: number, most: number, outlines: Counter): number {
    const { strides } = this.field;
    const order = layers.filling();
    const layer = layers.ofStrides();
    if (strides === null || layer === undefined) return 0;
    // A quarter of a pixel off is not seen.
    const s = strides.select(sight, 0.25 / view.scale, most);
    this.fill.spread(layer, this.field, s, view, ratio);
    this.fill.paint(this.g, layer, this.field, p, view);
    // Switched on after the strides, the prescribed rate covers them.
    if (order[order.length - 1] === "prescribed") this.prescribed(view, sight, p, outlines);
    return s.count;
  }

  private lines(view: View, sight: Box, p: Palette, n: Counter): void {
    const { g } = this;
    g.beginPath();
    for (const z of this.field.zones) trace(g, z.shape, view, sight, n);
    this.stroke(p.halo, 3);
    this.stroke(p.soft, 1.25);
  }

  private boundary(view: View, sight: Box, p: Palette, n: Counter): void {
    this.g.beginPath();
    trace(this.g, this.field.boundary, view, sight, n);
    this.stroke(p.ink, 2);
  }

  private offLimits(view: View, sight: Box, p: Palette, n: Counter): void {
    const { g } = this;
    g.beginPath();
    for (const o of this.field.offLimits) trace(g, o.shape, view, sight, n);
    g.fillStyle = p.paper;
    g.globalAlpha = 0.75;
    g.fill("evenodd");
    g.globalAlpha = 0.45;
    g.fillStyle = this.patterns.get(g, "hatch", p.offLimits, view.screenX(0), view.screenY(0));
    g.fill("evenodd");
    g.globalAlpha = 1;
    g.setLineDash([5, 4]);
    this.stroke(p.offLimits, 1.75);
    g.setLineDash([]);
  }

  /** Findings in sight by kind, with what each kind may take: what matters most first. */
  private seen(sight: Box, layers: Layers): Seen[] {
    let left = mostPatchOutlines;
    const all: Seen[] = [];
    for (const [id, kind] of this.field.kinds) {
      if (!layers.on("finding:" + id)) continue;
      const patches = this.field.patches.filter((f) => f.data.kind === id && meets(f.shape.box, sight));
      const rings = patches.reduce((sum, f) => sum + f.shape.rings.length, 0);
      all.push({ kind, patches, outlines: new Counter(Math.min(rings, left)) });
      left -= Math.min(rings, left);
    }
    return all;
  }

  /** Findings of a kind are one path: one fill, one pattern, one line. */
  private finding({ kind, patches, outlines }: Seen, view: View, sight: Box, p: Palette): number {
    const { g } = this;
    const colour = p.dark ? kind.dark : kind.light;
    g.fillStyle = colour;
    g.beginPath();
    for (const f of patches) if (!isThin(f, view) && !speck(g, f.shape.box, view, outlines)) trace(g, f.shape, view, sight, outlines);
    g.globalAlpha = kind.pattern === "solid" ? 0.8 : 0.3;
    g.fill("evenodd");
    g.globalAlpha = 1;
    if (kind.pattern !== "solid") {
      g.fillStyle = this.patterns.get(g, kind.pattern, colour, view.screenX(0), view.screenY(0));
      g.fill("evenodd");
    }
    this.stroke(colour, 1.5, "bevel");
    // In strips as thin as a line no pattern is seen: they are a line.
    g.fillStyle = colour;
    g.beginPath();
    for (const f of patches) if (isThin(f, view) && !speck(g, f.shape.box, view, outlines)) trace(g, f.shape, view, sight, outlines);
    this.stroke(colour, 1.5, "bevel");
    return outlines.total;
  }

  private stroke(colour: string, width: number, join: CanvasLineJoin = "round"): void {
    this.g.lineJoin = join;
    this.g.strokeStyle = colour;
    this.g.lineWidth = width;
    this.g.stroke();
  }

  private labels(view: View, sight: Box, layers: Layers, p: Palette, n: Counter, marks: Marks): void {
    const { g, field } = this;
    const places = new Places();
    places.take(100, view.height - 25, 200, 50); // scale and north
    places.take(view.width - 78, view.height - 25, 156, 54); // buttons
    if (marks.chosen !== null) this.chosen(marks.chosen, view, sight, p, n);
    if (layers.on("choice")) {
      for (const z of field.zones) {
        if (!meets(z.shape.box, sight) || n.left === 0) continue;
        if (zoneLabel(g, p, z, view, places, null, `${z.data.choice} ${z.data.label}`.trim(), rateSizes)) n.one();
      }
    } else if (layers.on("prescribed")) {
      const onTop = layers.filling().slice(-1)[0] === "prescribed";
      for (const z of field.zones) {
        if (!meets(z.shape.box, sight) || n.left === 0) continue;
        const ground = onTop && z.data.rate !== null ? this.rateColour(z.data.rate, p) : null;
        const at = zoneLabel(g, p, z, view, places, ground, z.data.label, rateSizes);
        if (at === null) continue;
        n.one();
        if (layers.on("zones") && field.zones.length > 1 && nameBelow(g, p, view, places, ground, shortName(z.data.id), at)) n.one();
      }
    } else if (layers.on("zones")) {
      for (const z of field.zones) {
        if (!meets(z.shape.box, sight) || n.left === 0) continue;
        if (zoneLabel(g, p, z, view, places, null, shortName(z.data.id), nameSizes) !== null) n.one();
      }
    }
    this.letters(view, sight, layers, p, n, places);
    if (marks.spot !== null && n.one()) spotMark(g, p, view.screenX(marks.spot.x), view.screenY(marks.spot.y));
    if (marks.cross && n.one()) crossHair(g, p, view);
    n.total += 3; // two scale bars and north
    scaleAndNorth(g, p, view);
  }

  /**
   * Marks of the largest patches that can be seen and have a free place: of their largest
   * part first, of others as far as there is room.
   */
  private letters(view: View, sight: Box, layers: Layers, p: Palette, n: Counter, places: Places): void {
    const { g, field } = this;
    const wanted: { f: Patch; part: Part; turn: number }[] = [];
    for (const [i, f] of field.patches.entries()) {
      if (!field.kinds.has(f.data.kind) || !layers.on("finding:" + f.data.kind) || !meets(f.shape.box, sight)) continue;
      for (const [k, part] of partsOf(f).entries()) {
        const size = Math.max(part.box.x1 - part.box.x0, part.box.y1 - part.box.y0) * view.scale;
        // Of those hardly seen only the largest of the field are named.
        if (size < (k > 0 ? 25 : i < 20 ? 4 : 10)) break;
        if (meets(part.box, sight)) wanted.push({ f, part, turn: i + partLater * k });
      }
    }
    wanted.sort((a, b) => a.turn - b.turn);
    const marks: { f: Patch; on: Point; beside: Point | null }[] = [];
    const most = marksIn(view);
    for (const { f, part } of wanted.slice(0, 4 * most)) {
      if (marks.length === most || n.left < 10) break;
      const at = markPlace(part, view, places, badgeWidth(g, f.data.mark));
      if (at === null) continue;
      n.one();
      if (at.beside !== null) n.one();
      marks.push({ f, ...at });
    }
    // No line lies on a mark.
    for (const { f, on, beside } of marks) if (beside !== null) leader(g, p, this.colourOf(f, p), on, beside);
    for (const { f, on, beside } of marks.reverse()) badge(g, p, f.data.mark, this.colourOf(f, p), ...(beside ?? on));
  }

  private colourOf(f: Patch, p: Palette): string {
    const kind = this.field.kinds.get(f.data.kind);
    return kind === undefined ? p.ink : p.dark ? kind.dark : kind.light;
  }

  private chosen(f: Patch, view: View, sight: Box, p: Palette, n: Counter): void {
    const { g } = this;
    g.beginPath();
    trace(g, f.shape, view, sight, n);
    this.stroke(p.halo, 7);
    this.stroke(p.mark, 3);
    // A ring around a patch too small to see its outline.
    const b = f.shape.box;
    const r = (Math.max(b.x1 - b.x0, b.y1 - b.y0) * view.scale) / 2;
    if (r > 14 || !n.one()) return;
    g.beginPath();
    g.arc(view.screenX((b.x0 + b.x1) / 2), view.screenY((b.y0 + b.y1) / 2), 18, 0, 2 * Math.PI);
    this.stroke(p.halo, 6);
    this.stroke(p.mark, 2.5);
  }
}

/** A zone's name beside the letters of findings, which it may share. */
function shortName(id: string): string {
  return id === "" || id.length > 16 ? "" : `zone ${id}`;
}

/** Whether a patch is on average hardly wider than a line. */
function isThin(f: Patch, view: View): boolean {
  return f.shape.widthCm * view.scale < 3;
}

/** A patch too small for a pattern is a speck that can still be seen. */
function speck(g: CanvasRenderingContext2D, b: Box, view: View, n: Counter): boolean {
  const w = (b.x1 - b.x0) * view.scale, h = (b.y1 - b.y0) * view.scale;
  if (w > 4 || h > 4) return false;
  if (!n.one()) return true;
  g.fillRect(view.screenX(b.x0) - 0.5, view.screenY(b.y1) - 0.5, Math.max(w + 1, 2), Math.max(h + 1, 2));
  return true;
}

/** At most so many parts of a patch have its mark. */
const mostParts = 6;

/** The next part of a patch has its mark after so many smaller patches. */
const partLater = 6;

/** How many marks a picture holds before they hide the field. */
function marksIn(view: View): number {
  return Math.round(10 + (view.width * view.height) / 30000);
}

/** A part of a patch, with the places on it where its mark may stand, the best first. */
interface Part {
  box: Box;
  places: [number, number][];
}

const parts = new WeakMap<Patch, Part[]>();

/** The largest parts of a patch that stand apart. */
function partsOf(f: Patch): Part[] {
  let list = parts.get(f);
  if (list === undefined) {
    const shells = f.shape.rings.filter((r) => !r.hole && r.xy.length > 0);
    shells.sort((a, b) => Math.abs(b.area) - Math.abs(a.area));
    list = shells.slice(0, mostParts).map((r) => ({ box: r.box, places: onPart(f, r.box) }));
    parts.set(f, list);
  }
  return list;
}

type Point = [number, number];

/**
 * Where a part has its mark in the picture: on it or, where others stand there, beside it
 * with a line to it; null where it has no place.
 */
function markPlace(part: Part, view: View, places: Places, w: number): { on: Point; beside: Point | null } | null {
  const h = 20;
  const on = part.places
    .map(([x, y]): Point => [view.screenX(x), view.screenY(y)])
    .filter(([x, y]) => x > w / 2 && y > h / 2 && x < view.width - w / 2 && y < view.height - h / 2);
  for (const at of on) if (places.take(at[0], at[1], w + 2, h)) return { on: at, beside: null };
  for (const at of on) {
    for (let k = 0; k < 8; k++) {
      const beside: Point = [at[0] + 27 * Math.cos((k * Math.PI) / 4), at[1] + 27 * Math.sin((k * Math.PI) / 4)];
      if (beside[0] < w / 2 || beside[1] < h / 2 || beside[0] > view.width - w / 2 || beside[1] > view.height - h / 2) continue;
      if (places.take(beside[0], beside[1], w + 2, h)) return { on: at, beside };
    }
  }
  return null;
}

/** On lines across a part, from its middle to its ends: the middle of the widest stretch. */
function onPart(f: Patch, b: Box): Point[] {
  const wide = b.x1 - b.x0 >= b.y1 - b.y0;
  const [lo, size] = wide ? [b.x0, b.x1 - b.x0] : [b.y0, b.y1 - b.y0];
  const list: Point[] = [];
  for (const share of [0.5, 0.3, 0.7, 0.15, 0.85]) {
    const m = lo + share * size;
    const cuts: number[] = [];
    for (const { xy, box } of f.shape.rings) {
      if (!meets(box, b)) continue;
      for (let i = 0, j = xy.length - 2; i < xy.length; j = i, i += 2) {
        const [a0, a1, c0, c1] = wide ? [xy[i], xy[i + 1], xy[j], xy[j + 1]] : [xy[i + 1], xy[i], xy[j + 1], xy[j]];
        if (a0 > m !== c0 > m) cuts.push(a1 + ((m - a0) / (c0 - a0)) * (c1 - a1));
      }
    }
    cuts.sort((p, q) => p - q);
    let best = -1, middle = 0;
    for (let i = 0; i + 1 < cuts.length; i += 2) {
      if (cuts[i + 1] - cuts[i] > best) {
        best = cuts[i + 1] - cuts[i];
        middle = (cuts[i] + cuts[i + 1]) / 2;
      }
    }
    if (best >= 0) list.push(wide ? [m, middle] : [middle, m]);
  }
  return list;
}

function spotMark(g: CanvasRenderingContext2D, p: Palette, x: number, y: number): void {
  for (const [width, colour] of [[5, p.halo], [2, p.mark]] as const) {
    g.lineWidth = width;
    g.strokeStyle = colour;
    g.beginPath();
    g.arc(x, y, 7, 0, 2 * Math.PI);
    g.stroke();
  }
}

/** In the middle of the picture, for those at a keyboard. */
function crossHair(g: CanvasRenderingContext2D, p: Palette, view: View): void {
  const x = Math.round(view.width / 2), y = Math.round(view.height / 2);
  for (const [width, colour] of [[5, p.halo], [2, p.mark]] as const) {
    g.lineWidth = width;
    g.strokeStyle = colour;
    g.beginPath();
    for (const [dx, dy] of [[1, 0], [-1, 0], [0, 1], [0, -1]]) {
      g.moveTo(x + 5 * dx, y + 5 * dy);
      g.lineTo(x + 16 * dx, y + 16 * dy);
    }
    g.stroke();
  }
}
