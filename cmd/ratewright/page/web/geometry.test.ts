import { deepEqual, equal, ok } from "node:assert/strict";
import { test } from "node:test";
import { inkOn, share, step } from "./colours";
import { inShape, quadArea, rooms, toEdge, unpackShape } from "./geometry";
import { roundLength } from "./labels";
import { clock, cut, rateText } from "./spot";
import { View } from "./view";

// A square of 100 m with a hole of 20 m in its middle.
const withHole = unpackShape([[[0, 0, 10000, 0, 0, 10000, -10000, 0], [4000, 4000, 0, 2000, 2000, 0, 0, -2000]]]);

test("rings are unpacked from steps", () => {
  deepEqual([...withHole.rings[1].xy], [4000, 4000, 4000, 6000, 6000, 6000, 6000, 4000]);
  deepEqual(withHole.box, { x0: 0, y0: 0, x1: 10000, y1: 10000 });
});

test("inside, outside and in the hole", () => {
  ok(inShape(withHole, 1000, 1000));
  ok(!inShape(withHole, 5000, 5000));
  ok(!inShape(withHole, -1, 5000));
});

test("a shape without rings and a ring without room do no harm", () => {
  deepEqual(rooms(unpackShape([]), 5), []);
  ok(!inShape(unpackShape([[[1, 1]]]), 1, 1));
  ok(!inShape(unpackShape(null), 1, 1));
});

test("a label stands inside, away from all edges", () => {
  const [best] = rooms(withHole, 10);
  ok(inShape(withHole, best.x, best.y));
  // The largest circle touches two sides and a corner of the hole.
  ok(best.clear > 2300 && best.clear < 2400, String(best.clear));
  equal(toEdge(withHole, best.x, best.y), best.clear);
});

test("area of a quad", () => {
  equal(quadArea(Int32Array.from([0, 0, 10, 0, 10, 5, 0, 5]), 0), 50);
});

test("zooming keeps the ground below the pointer", () => {
  const v = new View();
  v.setWhole({ x0: 0, y0: 0, x1: 10000, y1: 10000 });
  v.resize(400, 300);
  ok(v.isWhole());
  const x = v.toX(230), y = v.toY(120);
  v.zoom(3, 230, 120);
  ok(Math.abs(v.toX(230) - x) < 1e-6 && Math.abs(v.toY(120) - y) < 1e-6);
  ok(Math.abs(v.screenX(x) - 230) < 1e-6 && Math.abs(v.screenY(y) - 120) < 1e-6);
  ok(!v.isWhole());
  v.showAll();
  ok(v.isWhole());
});

test("the field cannot be lost", () => {
  const v = new View();
  v.setWhole({ x0: 0, y0: 0, x1: 10000, y1: 10000 });
  v.resize(400, 300);
  v.pan(1e6, -1e6);
  ok(v.x >= 0 && v.y <= 10000);
  for (let i = 0; i < 100; i++) v.zoom(0.5, 0, 0);
  ok(v.scale * 10000 > 50);
});

test("words and colours", () => {
  equal(clock(1718200000), "12 Jun 2024 13:46:40 UTC");
  equal(clock(NaN), "not known");
  equal(rateText(151.4), "151.4");
  equal(rateText(51.44), "51.4");
  equal(cut("short"), "short");
  equal([...cut("\u{1F33D}".repeat(5000))].length, 401);
  equal(roundLength(780), 500);
  equal(roundLength(0.3), 0.2);
  equal(step(["a", "b", "c"], share(200, 100, 200)), "c");
  equal(step(["a", "b", "c"], share(100, 100, 100)), "b");
  equal(inkOn("#00537c"), "#ffffff");
  equal(inkOn("#daebf3"), "#14130f");
});
