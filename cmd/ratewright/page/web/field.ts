import type { Choice, FindingKind, MapData, PackedPatch, PackedZone, Strides } from "./data";
import { addBox, emptyBox, inShape, isEmpty, rooms, unpackShape, type Box, type Room, type Shape } from "./geometry";
import { Levels, type Span } from "./levels";
import { drivenPath } from "./chains";

export interface Zone {
  data: PackedZone;
  shape: Shape;
  rooms: Room[];
}

export interface Patch {
  index: number; // as in the list of the page
  data: PackedPatch;
  shape: Shape;
}

export interface Place {
  name: string;
  shape: Shape;
}

/** What matters most first; kinds not named here come last. */
const kindOrder = ["missed", "doubled", "shallow", "light", "heavy", "off_limits", "outside", "unprescribed", "lapped"];

/** All there is to draw, unpacked. */
export class Field {
  readonly boundary: Shape;
  readonly offLimits: Place[];
  readonly zones: Zone[];
  /** Largest first, of the same ground what matters most. */
  readonly patches: Patch[];
  readonly kinds: Map<string, FindingKind>;
  readonly bounds: Box;
  strides: Levels | null = null;
  /** Whether the strides, if any, have been read. */
  complete = false;
  hasRate = false;
  hasDepth = false;
  hasTime = false;
  depths: Span = { low: 0, high: 1 };
  private pathLevels: Levels | null = null;

  constructor(readonly data: MapData) {
    this.boundary = unpackShape(data.boundary);
    this.offLimits = (data.offLimits ?? []).map((p) => ({ name: p.name, shape: unpackShape(p.polygons) }));
    this.zones = (data.zones ?? []).map((z) => {
      const shape = unpackShape(z.polygons);
      return { data: z, shape, rooms: rooms(shape, 60) };
    });
    const rank = (k: string) => (kindOrder.indexOf(k) + 1 || kindOrder.length + 1);
    this.patches = (data.patches ?? [])
      .map((p, index) => ({ index, data: p, shape: unpackShape(p.polygons) }))
      .sort((a, b) => b.data.areaM2 - a.data.areaM2 || rank(a.data.kind) - rank(b.data.kind));
    const present = new Set(this.patches.map((p) => p.data.kind));
    this.kinds = new Map(
      Object.entries(data.kinds ?? {})
        .filter(([k]) => present.has(k))
        .sort(([a], [b]) => rank(a) - rank(b)),
    );
    this.bounds = emptyBox();
    addBox(this.bounds, this.boundary.box);
    for (const z of this.zones) addBox(this.bounds, z.shape.box);
  }

  /** Takes in the strides once they are unpacked. */
  setStrides(s: Strides): void {
    if (s.count === 0) return;
    this.hasRate = s.rate.some((v) => v === v);
    this.hasDepth = s.depth.some((v) => v === v);
    this.hasTime = s.time.some((v) => v === v);
    this.depths = depthSpan(s.depth, this.data.shallow);
    this.strides = new Levels(s, { low: this.data.lowRate, high: this.data.highRate }, this.depths);
    if (isEmpty(this.bounds)) {
      const c = s.corners;
      for (let i = 0; i < c.length; i += 2) addBox(this.bounds, { x0: c[i], y0: c[i + 1], x1: c[i], y1: c[i + 1] });
    }
  }

  /** The driven path, made when it is first wanted. */
  get path(): Levels | null {
    if (this.pathLevels === null && this.strides !== null) {
      const none = { low: 0, high: 0 };
      this.pathLevels = new Levels(drivenPath(this.strides.strides), none, none);
    }
    return this.pathLevels;
  }

  /** What a zone gets. */
  choiceOf(z: Zone): Choice | undefined {
    return z.data.choice === "" ? undefined : this.data.choices.find((c) => c.letter === z.data.choice);
  }

  zoneAt(x: number, y: number): Zone | undefined {
    return this.zones.find((z) => inShape(z.shape, x, y));
  }

  patchesAt(x: number, y: number): Patch[] {
    return this.patches.filter((p) => inShape(p.shape, x, y));
  }
}

/** Ends of the ramp of depths: without the few extremes that would flatten it. */
export function depthSpan(depth: Float32Array, shallow: number): Span {
  const step = Math.max(1, Math.floor(depth.length / 20000));
  const some: number[] = [];
  for (let i = 0; i < depth.length; i += step) if (depth[i] === depth[i]) some.push(depth[i]);
  if (some.length === 0) return { low: 0, high: 1 };
  some.sort((a, b) => a - b);
  let low = some[Math.floor(0.02 * (some.length - 1))];
  const high = some[Math.ceil(0.98 * (some.length - 1))];
  if (shallow > 0) low = Math.min(low, shallow);
  return { low, high };
}
