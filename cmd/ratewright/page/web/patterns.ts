import type { PatternName } from "./data";

/** Side of the tile that a pattern repeats, in CSS pixels. */
const tile = 10;

/**
 * A pattern of lines or dots in one colour on nothing. The tile is drawn at the
 * screen's own resolution, so that lines are sharp.
 */
export function tileOf(name: PatternName, colour: string, ratio: number): HTMLCanvasElement {
  const c = document.createElement("canvas");
  c.width = c.height = Math.round(tile * ratio);
  const g = c.getContext("2d");
  if (g === null) return c;
  const k = c.width / tile;
  g.scale(k, k);
  g.strokeStyle = g.fillStyle = colour;
  g.lineWidth = 1.6;
  draw(g, name);
  return c;
}

function draw(g: CanvasRenderingContext2D, name: PatternName): void {
  switch (name) {
    case "hatch":
      slant(g, 1);
      break;
    case "cross":
      slant(g, 1);
      slant(g, -1);
      break;
    case "dots":
      dot(g, 2.5, 2.5, 1.5);
      dot(g, 7.5, 7.5, 1.5);
      break;
    case "bars":
      g.fillRect(0, 1.6, tile, 1.8);
      g.fillRect(0, 6.6, tile, 1.8);
      break;
    case "ring":
      g.lineWidth = 1.4;
      g.beginPath();
      g.arc(5, 5, 2.8, 0, 2 * Math.PI);
      g.stroke();
      break;
    case "solid":
      g.fillRect(0, 0, tile, tile);
      break;
  }
}

/** Lines at 45 degrees that meet those of the next tile. */
function slant(g: CanvasRenderingContext2D, up: 1 | -1): void {
  g.beginPath();
  for (const shift of [-tile, 0, tile]) {
    g.moveTo(shift - 1, up > 0 ? tile + 1 : -1);
    g.lineTo(shift + tile + 1, up > 0 ? -1 : tile + 1);
  }
  g.stroke();
}

function dot(g: CanvasRenderingContext2D, x: number, y: number, r: number): void {
  g.beginPath();
  g.arc(x, y, r, 0, 2 * Math.PI);
  g.fill();
}

/** Patterns by name and colour, made once for a resolution. */
export class Patterns {
  private readonly made = new Map<string, CanvasPattern | null>();

  constructor(readonly ratio: number) {}

  /** A pattern that stays with the ground when the picture moves. */
  get(g: CanvasRenderingContext2D, name: PatternName, colour: string, x: number, y: number): CanvasPattern | string {
    const key = name + colour;
    if (!this.made.has(key)) this.made.set(key, g.createPattern(tileOf(name, colour, this.ratio), "repeat"));
    const p = this.made.get(key);
    if (!p) return colour;
    const side = Math.round(tile * this.ratio) / this.ratio;
    p.setTransform(new DOMMatrix([1 / this.ratio, 0, 0, 1 / this.ratio, x % side, y % side]));
    return p;
  }
}
