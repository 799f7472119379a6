import { palette as paletteOf, type Palette } from "./colours";
import type { Choice, PatternName } from "./data";
import type { Field } from "./field";
import { rampOf, rateSpan } from "./fill";
import type { Layers } from "./layers";
import { font } from "./labels";
import { tileOf } from "./patterns";

const swatchWidth = 30;
const swatchHeight = 16;

const strideLayers = ["applied", "visits", "depth"];

/** The key of the layers that are on: a sample and its name each. */
export class Legend {
  constructor(private readonly list: HTMLElement) {}

  show(field: Field, layers: Layers, isDark: boolean): void {
    const p = paletteOf(isDark);
    const items: HTMLElement[] = [];
    for (const l of layers.visible()) {
      const kind = l.id.startsWith("finding:") ? field.kinds.get(l.id.slice(8)) : undefined;
      if (kind !== undefined) {
        const colour = isDark ? kind.dark : kind.light;
        items.push(item(swatch((g) => finding(g, p, kind.pattern, colour, kind.letter)), l.title));
        continue;
      }
      if (l.id === "choice") {
        for (const c of field.data.choices) {
          if (field.zones.some((z) => field.choiceOf(z) === c)) items.push(item(swatch((g) => choice(g, p, c)), `${c.letter}: ${c.name}`));
        }
        items.push(item(document.createElement("i"), `Number on a zone: planned rate, ${field.data.rateUnit}`));
        continue;
      }
      // A layer that another one hides has no place in the key.
      if (strideLayers.includes(l.id) && l.id !== layers.ofStrides()) continue;
      items.push(...itemsOf(l.id, l.title, field, p, layers));
    }
    this.list.replaceChildren(...items);
  }
}

function itemsOf(id: string, title: string, field: Field, p: Palette, layers: Layers): HTMLElement[] {
  switch (id) {
    case "prescribed":
    case "applied":
      // Both have one ramp of colours, named once.
      if (id === "applied" && layers.on("prescribed")) return [];
      return [
        rateItem(field, p, layers.on("prescribed") && layers.ofStrides() === "applied" ? `${field.data.rateTitle} and applied rate` : title),
        ...(id === "prescribed" && (field.data.zones ?? []).some((z) => z.rate === null) ? [item(swatch((g) => bare(g, p)), "No rate")] : []),
      ];
    case "visits":
      return [
        item(swatch((g) => bare(g, p)), "Not covered"),
        ...p.visits.map((c, i) => item(swatch((g) => flat(g, c)), ["Covered once", "twice", "three times or more"][i])),
      ];
    case "depth":
      return [ramp(p.depth, `${title}, ${plain(field.depths.low)} to ${plain(field.depths.high)} ${field.data.depthUnit}`)];
    case "zones":
      return [item(swatch((g) => line(g, p.soft, 1.25)), title)];
    case "boundary":
      return [item(swatch((g) => line(g, p.ink, 2)), title)];
    case "offlimits":
      return [item(swatch((g) => line(g, p.offLimits, 1.75, [5, 4])), title)];
    case "path":
      return [item(swatch((g) => arrow(g, p.path)), title)];
    default:
      return [];
  }
}

function rateItem(field: Field, p: Palette, title: string): HTMLElement {
  const { low, high } = rateSpan(field.data);
  const unit = field.data.rateUnit;
  if (!(high > low)) return item(swatch((g) => flat(g, rampOf(field.data, p.dark)[3])), `${title}, ${plain(low)} ${unit}`);
  return ramp(rampOf(field.data, p.dark), `${title}, ${plain(low)} to ${plain(high)} ${unit}`);
}

function plain(v: number): string {
  return String(Number(v.toFixed(1)));
}

function item(sample: HTMLElement, words: string): HTMLElement {
  const li = document.createElement("li");
  const text = document.createElement("span");
  text.textContent = words;
  li.append(sample, text);
  return li;
}

function ramp(colours: string[], words: string): HTMLElement {
  const wide = swatch((g) => {
    const w = (3 * swatchWidth) / colours.length;
    colours.forEach((c, i) => {
      g.fillStyle = c;
      g.fillRect(i * w, 0, w + 0.5, swatchHeight);
    });
  }, 3 * swatchWidth);
  return item(wide, words);
}

/** A small picture; the words beside it say all that it does. */
function swatch(draw: (g: CanvasRenderingContext2D) => void, width = swatchWidth): HTMLElement {
  const c = document.createElement("canvas");
  const ratio = window.devicePixelRatio || 1;
  c.width = Math.round(width * ratio);
  c.height = Math.round(swatchHeight * ratio);
  const g = c.getContext("2d");
  if (g !== null) {
    g.scale(ratio, ratio);
    draw(g);
  }
  const sample = document.createElement("i");
  sample.setAttribute("aria-hidden", "true");
  sample.style.width = width + "px";
  sample.style.height = swatchHeight + "px";
  sample.style.background = `url("${c.toDataURL()}") 0 0 / 100% 100%`;
  return sample;
}

function flat(g: CanvasRenderingContext2D, colour: string): void {
  g.fillStyle = colour;
  g.fillRect(0, 0, swatchWidth, swatchHeight);
}

/** Ground with nothing on it is nearly as pale as the paper. */
function bare(g: CanvasRenderingContext2D, p: Palette): void {
  flat(g, p.ground);
  g.strokeStyle = p.soft;
  g.lineWidth = 1;
  g.strokeRect(0.5, 0.5, swatchWidth - 1, swatchHeight - 1);
}

function line(g: CanvasRenderingContext2D, colour: string, width: number, dash: number[] = []): void {
  g.strokeStyle = colour;
  g.lineWidth = width;
  g.setLineDash(dash);
  g.beginPath();
  g.moveTo(0, swatchHeight / 2);
  g.lineTo(swatchWidth, swatchHeight / 2);
  g.stroke();
}

function arrow(g: CanvasRenderingContext2D, colour: string): void {
  line(g, colour, 1.25);
  const x = swatchWidth / 2, y = swatchHeight / 2;
  g.fillStyle = colour;
  g.beginPath();
  g.moveTo(x + 5, y);
  g.lineTo(x - 4, y - 4);
  g.lineTo(x - 4, y + 4);
  g.fill();
}

function choice(g: CanvasRenderingContext2D, p: Palette, c: Choice): void {
  flat(g, p.halo);
  const colour = p.dark ? c.dark : c.light;
  g.fillStyle = g.createPattern(tileOf(c.pattern, colour, 1), "repeat") ?? colour;
  g.fillRect(0, 0, swatchWidth, swatchHeight);
  g.strokeStyle = colour;
  g.lineWidth = 2;
  g.strokeRect(1, 1, swatchWidth - 2, swatchHeight - 2);
}

function finding(g: CanvasRenderingContext2D, p: Palette, pattern: PatternName, colour: string, letter: string): void {
  flat(g, p.ground);
  g.globalAlpha = pattern === "solid" ? 0.8 : 0.3;
  flat(g, colour);
  g.globalAlpha = 1;
  if (pattern !== "solid") {
    const fill = g.createPattern(tileOf(pattern, colour, 1), "repeat");
    g.fillStyle = fill ?? colour;
    g.fillRect(0, 0, swatchWidth, swatchHeight);
  }
  g.strokeStyle = colour;
  g.lineWidth = 2;
  g.strokeRect(1, 1, swatchWidth - 2, swatchHeight - 2);
  const x = swatchWidth / 2, y = swatchHeight / 2;
  g.beginPath();
  g.arc(x, y, 7, 0, 2 * Math.PI);
  g.fillStyle = p.halo;
  g.fill();
  g.font = `700 11px ${font}`;
  g.textAlign = "center";
  g.textBaseline = "middle";
  g.fillStyle = p.ink;
  g.fillText(letter, x, y + 0.5);
}
