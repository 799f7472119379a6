import { deepEqual, equal, ok } from "node:assert/strict";
import { test } from "node:test";
import { Levels } from "./levels";
import { passes, strides, type Made, type Quad } from "./made";
import { Raster } from "./raster";
import { stridesAt, visits } from "./visits";

const span = { low: 0, high: 1 };
const square: Quad = [0, 0, 1000, 0, 1000, 1000, 0, 1000];

function at(...made: Made[]) {
  const s = strides([made]);
  return visits(s, stridesAt(new Levels(s, span, span), 500, 400));
}

test("one visit goes on while no stride starts more than a unit beyond its end", () => {
  const found = at(
    { quad: square, from: 0, to: 200, rate: 100, depth: 4 },
    { quad: square, from: 1200, to: 1300, rate: 20, depth: 3 },
  );
  equal(found.length, 1);
  equal(found[0].rate, 120);
  equal(found[0].depth, 3);
});

test("a stride beyond that is another visit", () => {
  const found = at(
    { quad: square, from: 0, to: 200, rate: 100, time: 5 },
    { quad: square, from: 1201, to: 1300, rate: 20, time: 9 },
  );
  deepEqual(found.map((v) => [v.rate, v.time]), [[100, 5], [20, 9]]);
});

test("the farthest end counts, not the last", () => {
  const found = at(
    { quad: square, from: 0, to: 900 },
    { quad: square, from: 100, to: 200 },
    { quad: square, from: 1850, to: 1900 },
  );
  equal(found.length, 1);
});

test("strides are taken in the order of the odometer", () => {
  const found = at({ quad: square, from: 5000, to: 5100, rate: 2 }, { quad: square, from: 0, to: 100, rate: 1 });
  deepEqual(found.map((v) => v.rate), [1, 2]);
});

test("an unknown rate makes the sum unknown, an unknown depth does not hide the others", () => {
  const found = at({ quad: square, from: 0, to: 100, rate: 1 }, { quad: square, from: 0, to: 100, depth: 2 });
  ok(Number.isNaN(found[0].rate));
  equal(found[0].depth, 2);
});

test("a raster counts as the rule does, and sides in common neither twice nor not at all", () => {
  const s = strides([passes(10, 20)]);
  const r = new Raster(40, 40);
  r.clear("visits");
  const q = new Float64Array(8);
  for (let i = 0; i < s.count; i++) {
    // Aslant, so that sides run through dots: one dot is 3 m.
    for (let k = 0; k < 8; k += 2) {
      const x = s.corners[8 * i + k] / 300, y = s.corners[8 * i + k + 1] / 300;
      q[k] = 6 + 0.8 * x - 0.6 * y + 8;
      q[k + 1] = 4 + 0.6 * x + 0.8 * y;
    }
    r.cover(q, s.from[i], s.to[i], 0);
  }
  let covered = 0;
  for (let row = 0; row < 40; row++) {
    for (let col = 0; col < 40; col++) {
      const u = col + 0.5 - 14, v = row + 0.5 - 4;
      const x = 300 * (0.8 * u + 0.6 * v), y = 300 * (-0.6 * u + 0.8 * v);
      const inside = x > 1 && x < 9999 && y > 1 && y < 3999;
      const outside = x < -1 || x > 10001 || y < -1 || y > 4001;
      if (inside) equal(r.visits[row * 40 + col], 1, `${col} ${row}`);
      if (outside) equal(r.visits[row * 40 + col], 0, `${col} ${row}`);
      covered += r.visits[row * 40 + col];
    }
  }
  ok(covered > 300);
});

test("a raster adds up what lies over one another", () => {
  const r = new Raster(4, 4);
  r.clear("sum");
  const q = Float64Array.from([0, 0, 4, 0, 4, 4, 0, 4]);
  r.cover(q, 0, 1, 100);
  r.cover(Float64Array.from([0, 0, 2, 0, 2, 4, 0, 4]), 0, 1, 50);
  deepEqual([...r.values.subarray(0, 4)], [150, 150, 100, 100]);
  r.clear("least");
  r.cover(q, 0, 1, 5);
  r.cover(q, 0, 1, 4);
  r.cover(q, 0, 1, NaN);
  equal(r.values[0], 4);
});
