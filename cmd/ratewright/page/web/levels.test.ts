import { deepEqual, equal, ok } from "node:assert/strict";
import { test } from "node:test";
import { chainOrder, drivenPath } from "./chains";
import { Levels, type Selection } from "./levels";
import { passes, strides } from "./made";

const span = { low: 100, high: 200 };
const all = { x0: -1e9, y0: -1e9, x1: 1e9, y1: 1e9 };

function areaOf(levels: Levels, s: Selection): number {
  const c = levels.strides.corners;
  let sum = 0;
  for (let i = 0; i < s.count; i++) {
    const b = 8 * s.first[i], f = 8 * s.last[i];
    const q = [c[b], c[b + 1], c[b + 2], c[b + 3], c[f + 4], c[f + 5], c[f + 6], c[f + 7]];
    let twice = 0;
    for (let k = 0, j = 6; k < 8; j = k, k += 2) twice += q[j] * q[k + 1] - q[k] * q[j + 1];
    sum += Math.abs(twice) / 2;
  }
  return sum;
}

test("few strides are drawn one by one", () => {
  const levels = new Levels(strides([passes(2, 50)]), span, span);
  const s = levels.select(all, 10, 1000);
  equal(s.count, 100);
  equal(s.off, 0);
  deepEqual([...s.first.subarray(0, 100)], [...s.last.subarray(0, 100)]);
});

test("many are merged, and straight passes lose nothing by it", () => {
  const levels = new Levels(strides([passes(100, 128)]), span, span);
  const s = levels.select(all, 1, 400);
  ok(s.count <= 400, String(s.count));
  equal(areaOf(levels, s), 100 * 128 * 200 * 1000);
  equal(s.rate[0], 150);
});

test("never more than the limit, whatever the strides", () => {
  // No stride joins another: each stands alone.
  const lonely = passes(1, 5000).map((m, i) => ({ ...m, quad: m.quad.map((v, k) => v + (k % 2 === 0 ? 5000 * (i % 70) : 9000 * i)) as typeof m.quad }));
  const levels = new Levels(strides([lonely]), span, span);
  for (const most of [1, 7, 100, 4999]) {
    const s = levels.select(all, 1, most);
    ok(s.count > 0 && s.count <= most, `${s.count} of ${most}`);
  }
});

test("300,000 strides of a whole field", () => {
  const levels = new Levels(strides([passes(230, 1304)]), span, span);
  const s = levels.select(all, 30, 8000);
  ok(s.count > 0 && s.count <= 8000, String(s.count));
});

test("what is out of sight is left out", () => {
  const levels = new Levels(strides([passes(50, 200)]), span, span);
  const s = levels.select({ x0: 10100, y0: 100, x1: 10900, y1: 300 }, 1, 15000);
  equal(s.off, 0);
  ok(s.count > 0 && s.count < 3 * 64 * 2, String(s.count));
});

test("a change of rate keeps its place", () => {
  const made = passes(1, 64);
  made.forEach((m, i) => (m.rate = i < 32 ? 100 : 200));
  const s = new Levels(strides([made]), span, span).select(all, 10, 63);
  deepEqual([...s.rate.subarray(0, s.count)], [100, 200]);
});

test("nothing to draw", () => {
  equal(new Levels(strides([]), span, span).select(all, 1, 100).count, 0);
});

test("sections side by side are put in chains", () => {
  const s = strides([passes(1, 40, 4)]);
  const order = chainOrder(s);
  equal(new Set(order).size, 160);
  deepEqual([...order.subarray(0, 40)].map((i) => i % 4), new Array(40).fill(0));
  const merged = new Levels(s, span, span).select(all, 1, 100);
  ok(merged.count <= 20, String(merged.count));
});

test("the driven path is one line for all sections", () => {
  const path = drivenPath(strides([passes(1, 40, 4), passes(1, 10)]));
  equal(path.count, 50);
  deepEqual([...path.trackStart], [0, 40]);
  deepEqual([...path.corners.subarray(0, 8)], [500, 0, 500, 0, 500, 200, 500, 200]);
});

test("strides near a spot", () => {
  const levels = new Levels(strides([passes(40, 128)]), span, span);
  const near: number[] = [];
  levels.near({ x0: 20500, y0: 50, x1: 20500, y1: 50 }, (i) => near.push(i));
  ok(near.includes(20 * 128), "the stride there is among them");
  ok(near.length <= 128, String(near.length));
});
