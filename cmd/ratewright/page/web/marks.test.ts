import { deepEqual, equal, ok } from "node:assert/strict";
import { test } from "node:test";
import { drivenPath } from "./chains";
import { palette } from "./colours";
import { scaleAndNorth } from "./labels";
import { Levels } from "./levels";
import { passes, strides } from "./made";
import { drawPath } from "./path";
import { View } from "./view";

type Call = [name: string, ...of: unknown[]];

/** A context that notes what is drawn with it. */
function noting(): [CanvasRenderingContext2D, Call[]] {
  const calls: Call[] = [];
  const g = new Proxy({}, {
    get: (_, name) => (...of: unknown[]) => void calls.push([String(name), ...of]),
    set: () => true,
  });
  return [g as unknown as CanvasRenderingContext2D, calls];
}

/** The corners of each path that is filled. */
function filled(calls: Call[]): [number, number][][] {
  const out: [number, number][][] = [];
  let at: [number, number][] = [];
  for (const [name, x, y] of calls) {
    if (name === "beginPath") at = [];
    if (name === "moveTo" || name === "lineTo") at.push([Number(x), Number(y)]);
    if (name === "fill") out.push(at);
  }
  return out;
}

function viewOf(scale: number): View {
  const view = new View();
  view.resize(600, 500);
  view.scale = scale;
  return view;
}

test("the bars are as long as they say, at any scale", () => {
  for (const scale of [0.0002, 0.0057, 0.03, 0.4, 2]) {
    const [g, calls] = noting();
    scaleAndNorth(g, palette(false), viewOf(scale));
    const said = calls.filter(([name]) => name === "fillText").map(([, words]) => String(words));
    const bars = calls.flatMap(([name, x, y], i) => (name === "lineTo" && calls[i - 1][0] === "lineTo" && calls[i - 1][2] === y ? [Number(x) - Number(calls[i - 1][1])] : []));
    for (const [unit, cm] of [["m", 100], ["ft", 30.48]] as const) {
      const words = said.find((w) => w.endsWith(" " + unit)) ?? "";
      const pixels = Number(words.split(" ")[0].replaceAll(",", "")) * cm * scale;
      ok(pixels > 20 && pixels <= 140, `${words} takes ${pixels} pixels`);
      ok(bars.some((b) => Math.abs(b - pixels) < 1e-6), `${words}: ${pixels} of ${bars}`);
    }
  }
});

test("north is up, and says so", () => {
  const [g, calls] = noting();
  const view = viewOf(0.01);
  scaleAndNorth(g, palette(true), view);
  const [arrow] = filled(calls);
  const letter = calls.find(([name, words]) => name === "fillText" && words === "N");
  ok(letter !== undefined && Number(letter[3]) < arrow[0][1], "the letter stands over the tip");
  ok(arrow.slice(1).every(([, y]) => y > arrow[0][1]), "the tip comes first, above the rest");
  ok(view.screenY(1000) < view.screenY(0), "what lies north is drawn above");
});

test("arrows point the way that was driven", () => {
  for (const back of [false, true]) {
    const made = passes(1, 60);
    if (back) {
      made.reverse();
      for (const m of made) {
        const [a, b, c, d, e, f, k, l] = m.quad;
        m.quad = [e, f, k, l, a, b, c, d];
      }
    }
    const path = new Levels(drivenPath(strides([made])), { low: 0, high: 1 }, { low: 0, high: 1 });
    const view = viewOf(0.04);
    [view.x, view.y] = [500, 6000];
    const [g, calls] = noting();
    const drawn = drawPath(g, path, view, { x0: -1e9, y0: -1e9, x1: 1e9, y1: 1e9 }, palette(false), 1000);
    const [heads] = filled(calls);
    ok(heads !== undefined && heads.length >= 9, "several arrows");
    ok(drawn > heads.length / 3, "they count as drawn");
    equal(heads.length % 3, 0);
    for (let i = 0; i < heads.length; i += 3) {
      const [tip, left, right] = heads.slice(i, i + 3);
      // Passes go north, and the screen's y points down.
      deepEqual([Math.sign(left[1] - tip[1]), Math.sign(right[1] - tip[1])], back ? [-1, -1] : [1, 1]);
    }
  }
});
