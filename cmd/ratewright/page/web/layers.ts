import type { Field } from "./field";

/** What can be switched on and off. Findings are "finding:" and their kind. */
export interface Layer {
  id: string;
  title: string;
  on: boolean;
}

/** Layers that fill the ground: what is switched on last lies on top. */
export const fills = ["prescribed", "applied", "visits", "depth", "choice"];

const strides = ["applied", "visits", "depth"];

/** The layers there is something to draw of. */
export function layersOf(f: Field): Layer[] {
  const after = f.data.kind === "reconcile";
  const driven = f.strides !== null;
  const all: Layer[] = [];
  const add = (has: boolean, id: string, title: string, on: boolean) => {
    if (has) all.push({ id, title, on });
  };
  const rated = f.zones.some((z) => z.data.rate !== null);
  const chosen = f.zones.some((z) => z.data.choice !== "");
  add(chosen, "choice", "Choice", true);
  add(rated, "prescribed", f.data.kind === "rates" ? f.data.rateTitle : `${f.data.rateTitle} rate`, !after && !chosen);
  add(f.hasRate, "applied", "Applied rate", false);
  add(driven, "visits", "Times covered", after);
  add(f.hasDepth, "depth", "Depth", false);
  for (const [id, k] of f.kinds) add(true, "finding:" + id, k.title, true);
  add(f.zones.length > 0, "zones", "Zones", true);
  add(f.boundary.rings.length > 0, "boundary", "Boundary", true);
  add(f.offLimits.length > 0, "offlimits", "Off limits and setbacks", true);
  add(driven, "path", "Driven path", false);
  return all;
}

/** The layers' switches and what is on. */
export class Layers {
  private readonly all: Layer[] = [];
  private order: string[] = [];

  constructor(
    private readonly box: HTMLElement | null,
    private readonly changed: () => void,
  ) {}

  /** Shows the switches; those there already keep their state. */
  set(layers: Layer[]): void {
    for (const l of layers) {
      const old = this.all.find((o) => o.id === l.id);
      if (old !== undefined) l.on = old.on;
    }
    this.all.splice(0, this.all.length, ...layers);
    this.order = fills.filter((id) => this.on(id));
    if (this.box === null) return;
    const set = document.createElement("fieldset");
    const legend = document.createElement("legend");
    legend.textContent = "Show";
    set.append(legend, ...this.all.map((l) => this.switchOf(l)));
    this.box.replaceChildren(set);
  }

  private switchOf(l: Layer): HTMLElement {
    const label = document.createElement("label");
    const input = document.createElement("input");
    input.type = "checkbox";
    input.checked = l.on;
    input.dataset.layer = l.id;
    input.addEventListener("change", () => {
      l.on = input.checked;
      this.order = this.order.filter((id) => id !== l.id);
      if (l.on && fills.includes(l.id)) this.order.push(l.id);
      this.changed();
    });
    const text = document.createElement("span");
    text.textContent = l.title;
    label.append(input, text);
    return label;
  }

  on(id: string): boolean {
    return this.all.some((l) => l.id === id && l.on);
  }

  /** Layers that fill the ground, lowest first. */
  filling(): string[] {
    return this.order;
  }

  /** The one layer of strides that is seen: it covers the others. */
  ofStrides(): string | undefined {
    return this.order.filter((id) => strides.includes(id)).pop();
  }

  visible(): Layer[] {
    return this.all.filter((l) => l.on);
  }
}
