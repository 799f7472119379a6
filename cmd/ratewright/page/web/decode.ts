import type { Strides } from "./data";

/** Whether this browser can unpack the strides. */
export function canInflate(): boolean {
  if (typeof DecompressionStream === "undefined") return false;
  try {
    new DecompressionStream("deflate-raw");
    return true;
  } catch {
    return false;
  }
}

export function fromBase64(text: string): Uint8Array<ArrayBuffer> {
  const binary = atob(text.trim());
  const bytes = new Uint8Array(binary.length);
  for (let i = 0; i < bytes.length; i++) bytes[i] = binary.charCodeAt(i);
  return bytes;
}

export async function inflate(bytes: Uint8Array<ArrayBuffer>): Promise<Uint8Array> {
  const out = new Blob([bytes]).stream().pipeThrough(new DecompressionStream("deflate-raw"));
  return new Uint8Array(await new Response(out).arrayBuffer());
}

/** A column of variable-length integers, read from front to back. */
class Column {
  constructor(
    private readonly bytes: Uint8Array,
    private at: number,
    private readonly end: number,
  ) {}

  get empty(): boolean {
    return this.at >= this.end;
  }

  /** An unsigned integer. Times pass 2^32, so beyond 28 bits it counts in Number. */
  unsigned(): number {
    let value = 0;
    let shift = 0;
    for (;;) {
      if (this.at >= this.end) throw new Error("the packed strides end too early");
      const b = this.bytes[this.at++];
      if (shift < 28) value |= (b & 127) << shift;
      else value += (b & 127) * 2 ** shift;
      if (b < 128) return value;
      shift += 7;
    }
  }

  /** A signed integer: 0, -1, 1, -2, … stand as 0, 1, 2, 3, … */
  signed(): number {
    const u = this.unsigned();
    return u % 2 === 0 ? u / 2 : -(u + 1) / 2;
  }
}

function columns(bytes: Uint8Array, at: number, count: number): Column[] {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const all: Column[] = [];
  for (let i = 0; i < count; i++) {
    const length = view.getUint32(at, true);
    at += 4;
    if (at + length > bytes.byteLength) throw new Error("the packed strides are cut short");
    all.push(new Column(bytes, at, at + length));
    at += length;
  }
  return all;
}

/** Unpacks the strides. */
export function decode(bytes: Uint8Array): Strides {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const count = view.getUint32(0, true);
  const tracks = view.getUint32(4, true);
  const trackStart = new Uint32Array(tracks);
  for (let t = 0; t < tracks; t++) trackStart[t] = view.getUint32(8 + 4 * t, true);
  const c = columns(bytes, 8 + 4 * tracks, 14);

  const joins = new Uint8Array(count);
  for (let i = 0; i < count; i++) joins[i] = c[0].unsigned();
  return {
    count,
    trackStart,
    joins,
    corners: corners(c, joins),
    ...odometer(c[9], c[10], count),
    time: known(c[11], new Float64Array(count), 10),
    rate: known(c[12], new Float32Array(count), 100),
    depth: known(c[13], new Float32Array(count), 100),
  };
}

/** Back corners stand only where a new run begins; front corners against a guess. */
function corners(c: Column[], joins: Uint8Array): Int32Array {
  const out = new Int32Array(8 * joins.length);
  let startLX = 0, startLY = 0, startRX = 0, startRY = 0;
  let wasLX = 0, wasLY = 0; // back left of the stride before
  let frontLX = 0, frontLY = 0, frontRX = 0, frontRY = 0;
  for (let i = 0; i < joins.length; i++) {
    let lx: number, ly: number, rx: number, ry: number;
    let guessX: number, guessY: number;
    if (joins[i]) {
      lx = frontLX; ly = frontLY; rx = frontRX; ry = frontRY;
      guessX = lx + (lx - wasLX);
      guessY = ly + (ly - wasLY);
    } else {
      lx = startLX += c[1].signed();
      ly = startLY += c[2].signed();
      rx = startRX += c[3].signed();
      ry = startRY += c[4].signed();
      guessX = lx;
      guessY = ly;
    }
    frontLX = guessX + c[5].signed();
    frontLY = guessY + c[6].signed();
    frontRX = frontLX + rx - lx + c[7].signed();
    frontRY = frontLY + ry - ly + c[8].signed();
    const o = 8 * i;
    out[o] = lx; out[o + 1] = ly;
    out[o + 2] = rx; out[o + 3] = ry;
    out[o + 4] = frontRX; out[o + 5] = frontRY;
    out[o + 6] = frontLX; out[o + 7] = frontLY;
    wasLX = lx;
    wasLY = ly;
  }
  return out;
}

function odometer(start: Column, length: Column, count: number): { from: Float64Array; to: Float64Array } {
  const from = new Float64Array(count);
  const to = new Float64Array(count);
  let end = 0;
  for (let i = 0; i < count; i++) {
    from[i] = end + start.signed();
    to[i] = end = from[i] + length.signed();
  }
  return { from, to };
}

/** A column in which 0 is unknown and others are steps from the last known. */
function known<T extends Float64Array | Float32Array>(c: Column, out: T, parts: number): T {
  if (c.empty) {
    out.fill(NaN);
    return out;
  }
  let last = 0;
  for (let i = 0; i < out.length; i++) {
    const u = c.unsigned();
    if (u === 0) {
      out[i] = NaN;
      continue;
    }
    const z = u - 1;
    last += z % 2 === 0 ? z / 2 : -(z + 1) / 2;
    out[i] = last / parts;
  }
  return out;
}
