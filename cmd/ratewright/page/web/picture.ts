import { palette } from "./colours";
import { Drawing, type Marks } from "./draw";
import type { Field, Patch } from "./field";
import type { Box } from "./geometry";
import { listen } from "./input";
import { Layers, layersOf } from "./layers";
import { Legend } from "./legend";
import { PatchList } from "./list";
import { storyOf, tell, type Story } from "./spot";
import { View } from "./view";

const help =
  "Arrow keys move the field under the cross-hair in the middle, with Shift in small steps. " +
  "Enter tells what is known of the spot under the cross-hair. Plus and minus make the field bigger and smaller, " +
  "0 shows all of it, Escape takes marks away.";

/** The map in the page: canvas, buttons, key, switches, story and list. */
export class Picture {
  private readonly view = new View();
  private readonly canvas = document.createElement("canvas");
  private readonly drawing: Drawing | null;
  private readonly layers: Layers;
  private readonly legend: Legend;
  private readonly list: PatchList;
  private readonly marks: Marks = { chosen: null, spot: null, cross: false };
  private readonly spot = document.getElementById("spot");
  private readonly isDark = window.matchMedia("(prefers-color-scheme: dark)");
  private readonly calm = window.matchMedia("(prefers-reduced-motion: reduce)");
  private pinned: Story = [];
  private ratio = 1;
  private frames = 0;
  private wanted = 0; // the frame asked for, 0 for none
  private flight = 0; // the frame of a movement under way
  private complete = false;

  constructor(
    figure: HTMLElement,
    private readonly field: Field,
  ) {
    const box = document.createElement("div");
    box.className = "map";
    const { canvas } = this;
    canvas.tabIndex = 0;
    canvas.setAttribute("role", "application");
    canvas.setAttribute("aria-label", "Map of the field");
    canvas.setAttribute("aria-description", help);
    const key = document.createElement("ul");
    key.className = "key";
    key.setAttribute("aria-label", "Key to the map");
    box.append(canvas, this.buttons());
    figure.prepend(box);
    box.after(key);
    figure.classList.add("live");
    if (this.spot !== null) {
      // The story stands next to the picture, also on a small screen.
      figure.after(this.spot);
      this.spot.dataset.hint =
        "Point at the field or tap it to read " +
        ({ reconcile: "what happened there.", plan: "what is planned there, and why.", rates: "the rate there, and why." }[field.data.kind] ?? "what is prescribed there, and why.");
    }

    const g = canvas.getContext("2d");
    this.drawing = g === null ? null : new Drawing(g, field);
    this.layers = new Layers(document.getElementById("layers"), () => this.redraw());
    this.layers.set(layersOf(field));
    this.legend = new Legend(key);
    this.list = new PatchList(document.getElementById("found"), (i) => this.jump(i, box));
    this.view.setWhole(field.bounds);
    this.measure();
    this.follow();
  }

  /** Redraws when the picture's size, the colours or the view change. */
  private follow(): void {
    new ResizeObserver(() => {
      if (this.measure()) this.draw();
    }).observe(this.canvas);
    this.isDark.addEventListener("change", () => this.redraw());
    const cross = (on: boolean) => {
      this.marks.cross = on;
      this.redraw();
    };
    this.canvas.addEventListener("focus", () => cross(this.canvas.matches(":focus-visible")));
    this.canvas.addEventListener("blur", () => cross(false));
    this.canvas.addEventListener("keydown", () => {
      if (!this.marks.cross) cross(true);
    });
    listen(this.canvas, this.view, {
      changed: () => {
        this.land();
        this.redraw();
      },
      whole: () => this.whole(),
      point: (x, y) => this.say(this.storyAt(x, y)),
      leave: () => this.say(this.pinned),
      pick: (x, y) => this.pin(x, y, true),
      pickMiddle: () => this.pin(this.view.width / 2, this.view.height / 2, false),
      clear: () => this.clear(),
    });
  }

  private buttons(): HTMLElement {
    const box = document.createElement("div");
    box.className = "views";
    const add = (sign: string, name: string, act: () => void) => {
      const b = document.createElement("button");
      b.type = "button";
      b.textContent = sign;
      b.setAttribute("aria-label", name);
      b.title = name;
      b.addEventListener("click", act);
      box.append(b);
    };
    const zoom = (factor: number) => {
      this.land();
      this.view.zoom(factor, this.view.width / 2, this.view.height / 2);
      this.redraw();
    };
    add("+", "Bigger", () => zoom(1.5));
    add("\u2212", "Smaller", () => zoom(1 / 1.5));
    add("\u25a1", "Whole field", () => this.whole());
    return box;
  }

  /** Takes the size from the page; false if it is as before. */
  private measure(): boolean {
    const { canvas, view } = this;
    const w = canvas.clientWidth, h = canvas.clientHeight;
    const ratio = window.devicePixelRatio || 1;
    if (w === 0 || h === 0 || (w === view.width && h === view.height && ratio === this.ratio)) return false;
    this.ratio = ratio;
    canvas.width = Math.round(w * ratio);
    canvas.height = Math.round(h * ratio);
    view.resize(w, h);
    return true;
  }

  /** All data are here: shows the layers that came with them. */
  ready(): void {
    this.complete = true;
    this.view.setWhole(this.field.bounds);
    if (this.frames === 0 || this.view.isWhole()) this.view.showAll();
    this.layers.set(layersOf(this.field));
    this.draw();
    this.canvas.dataset.ready = "1";
  }

  private redraw(): void {
    if (this.wanted === 0) this.wanted = requestAnimationFrame(() => this.draw());
  }

  draw(): void {
    cancelAnimationFrame(this.wanted);
    this.wanted = 0;
    if (this.drawing === null || this.view.width === 0) return;
    const n = this.drawing.frame(this.view, this.layers, palette(this.isDark.matches), this.ratio, this.marks);
    this.canvas.dataset.primitives = String(n);
    this.canvas.dataset.frame = String(++this.frames);
    const { x, y, scale } = this.view;
    this.canvas.dataset.view = [x, y, scale].map((v) => v.toPrecision(8)).join(" ");
    this.showKey();
  }

  private keyShown = "";

  /** The key changes only with the layers and the colours. */
  private showKey(): void {
    const state = [this.isDark.matches, this.complete, this.ratio, this.layers.filling(), ...this.layers.visible().map((l) => l.id)].join();
    if (state === this.keyShown) return;
    this.keyShown = state;
    this.legend.show(this.field, this.layers, this.isDark.matches);
  }

  private storyAt(px: number, py: number): Story {
    return storyOf(this.field, this.view.toX(px), this.view.toY(py));
  }

  private said = "";

  private say(story: Story): void {
    const words = story.join("\n");
    if (this.spot === null || words === this.said) return;
    this.said = words;
    tell(this.spot, story);
  }

  /** Tells a spot's story and keeps it. */
  private pin(px: number, py: number, mark: boolean): void {
    this.pinned = this.storyAt(px, py);
    const x = this.view.toX(px), y = this.view.toY(py);
    this.marks.spot = mark ? { x, y } : null;
    // What was found there is outlined, and marked in the list.
    this.marks.chosen = this.field.patchesAt(x, y).find((p) => this.layers.on("finding:" + p.data.kind)) ?? null;
    this.list.mark(this.marks.chosen === null ? null : this.list.buttonOf(this.marks.chosen.index));
    this.said = ""; // said again, also if it is the same
    this.say(this.pinned);
    this.redraw();
  }

  private clear(): void {
    this.marks.spot = this.marks.chosen = null;
    this.list.mark(null);
    this.pinned = [];
    this.say([]);
    this.redraw();
  }

  private whole(): void {
    this.fly(this.field.bounds, 0.04);
  }

  /** Frames a patch of the list, outlines it and tells of its middle. */
  private jump(index: number, map: HTMLElement): void {
    const patch = this.field.patches.find((p) => p.index === index);
    if (patch === undefined) return;
    this.marks.chosen = patch;
    this.marks.spot = null;
    this.fly(around(patch), 0.12);
    this.pinned = patchStory(patch);
    this.say(this.pinned);
    map.scrollIntoView({ block: "nearest", behavior: this.calm.matches ? "auto" : "smooth" });
  }

  /** Moves the view to a box, at once for those who want no movement. */
  private fly(b: Box, margin: number): void {
    this.land();
    const { view } = this;
    const to = view.framed(b, margin);
    if (this.calm.matches) {
      Object.assign(view, to);
      this.redraw();
      return;
    }
    const from = { x: view.x, y: view.y, scale: view.scale };
    const begin = performance.now();
    const go = (now: number) => {
      const t = Math.min(1, Math.max(0, (now - begin) / 300));
      const s = t * t * (3 - 2 * t);
      view.scale = from.scale * (to.scale / from.scale) ** s;
      view.x = from.x + s * (to.x - from.x);
      view.y = from.y + s * (to.y - from.y);
      if (t === 1) Object.assign(view, to);
      this.draw();
      this.flight = t < 1 ? requestAnimationFrame(go) : 0;
    };
    this.flight = requestAnimationFrame(go);
  }

  /** Ends a movement where it is. */
  private land(): void {
    cancelAnimationFrame(this.flight);
    this.flight = 0;
  }
}

/** A patch with some ground around it, so that one sees where in the field it is. */
function around(p: Patch): Box {
  const b = p.shape.box;
  const least = 1500; // half of 30 m
  const x = (b.x0 + b.x1) / 2, y = (b.y0 + b.y1) / 2;
  const w = Math.max((b.x1 - b.x0) / 2, least), h = Math.max((b.y1 - b.y0) / 2, least);
  return { x0: x - w, y0: y - h, x1: x + w, y1: y + h };
}

function patchStory(p: Patch): Story {
  const story: Story = [["Patch", `${p.data.mark} ${p.data.title}`]];
  const add = (name: string, words: string) => {
    if (words !== "") story.push([name, words]);
  };
  add("Area", p.data.area);
  add("Zone", p.data.zone);
  add("Applied there", p.data.n);
  add("Short there", p.data.short);
  return story;
}
