// What the page carries: map-data as it is written, and the strides unpacked.

/** A ring as packed: x0, y0, then steps to the next vertex; centimetres. */
export type PackedRing = number[];
export type PackedShape = PackedRing[][];

export type PatternName = "hatch" | "cross" | "dots" | "bars" | "ring" | "solid";

export interface FindingKind {
  title: string;
  light: string;
  dark: string;
  pattern: PatternName;
  letter: string;
}

export interface PackedZone {
  id: string;
  polygons: PackedShape;
  rate: number | null;
  label: string;
  why: string[] | null;
  /** The letter of what it gets, "" for none. */
  choice: string;
  /** What more is to be said of it, a name and its words each. */
  story: [string, string][];
}

/** What zones can get. */
export interface Choice {
  letter: string;
  name: string;
  light: string;
  dark: string;
  pattern: PatternName;
}

export interface PackedPatch {
  kind: string;
  /** What stands for it on the map and in the list. */
  mark: string;
  title: string;
  zone: string;
  polygons: PackedShape;
  areaM2: number;
  area: string;
  nKg: number;
  n: string;
  shortKg: number;
  short: string;
}

export interface MapData {
  kind: string;
  /** What the rates of zones are, such as "Prescribed". */
  rateTitle: string;
  rateUnit: string;
  depthUnit: string;
  shallow: number;
  lowRate: number;
  highRate: number;
  lon0: number;
  lat0: number;
  boundary: PackedShape | null;
  offLimits: { name: string; polygons: PackedShape }[] | null;
  zones: PackedZone[] | null;
  patches: PackedPatch[] | null;
  tracks: string[] | null;
  ramp: { light: string[]; dark: string[] };
  kinds: Record<string, FindingKind> | null;
  choices: Choice[];
}

/**
 * Strides as columns. Eight corner numbers each, in centimetres: back left, back
 * right, front right, front left. NaN is what nobody knows.
 */
export interface Strides {
  count: number;
  /** Index of each track's first stride. */
  trackStart: Uint32Array;
  corners: Int32Array;
  /** 1 where a stride begins at the front bar of the one before. */
  joins: Uint8Array;
  /** Odometer at the back and the front bar, in thousandths of a visit's distance. */
  from: Float64Array;
  to: Float64Array;
  /** Seconds since 1970, UTC. */
  time: Float64Array;
  rate: Float32Array;
  depth: Float32Array;
}

export function trackOf(s: Strides, stride: number): number {
  let t = 0;
  while (t + 1 < s.trackStart.length && s.trackStart[t + 1] <= stride) t++;
  return t;
}
