import { deepEqual, equal, throws } from "node:assert/strict";
import { test } from "node:test";
import { decode, fromBase64 } from "./decode";
import { pack, passes, strides, type Made } from "./made";

test("strides come back as they were packed", () => {
  const odd: Made[] = [
    { quad: [-500, 3, 700, -9, 690, 250, -510, 260], from: 12, to: 90, time: 1718200000.4, rate: 151.25, depth: 4.5 },
    { quad: [-510, 260, 690, 250, 600, 500, -600, 520], from: 90, to: 200 },
    { quad: [-600, 520, 600, 500, 610, 700, -610, 700], from: 200, to: 290, time: 1718200002, rate: 149, depth: 0.25 },
    { quad: [9000000, -9000000, 9001000, -9000000, 9001000, -8999800, 9000000, -8999800], from: 9000, to: 9100, time: 5, rate: 0, depth: 12 },
  ];
  const s = strides([odd, passes(3, 20)]);
  deepEqual(decode(pack(s)), s);
});

test("times beyond 32 bits are kept", () => {
  const time = 4102444800.1;
  const s = strides([[{ quad: [0, 0, 1, 0, 1, 1, 0, 1], from: 0, to: 1, time }]]);
  equal(decode(pack(s)).time[0], time);
});

test("columns that nobody knows may be empty", () => {
  const s = strides([[{ quad: [0, 0, 1, 0, 1, 1, 0, 1], from: 0, to: 1 }]]);
  const bytes = pack(s);
  // The last three columns have a length and one byte each; here they have none.
  const short = new Uint8Array(bytes.length - 3);
  short.set(bytes.subarray(0, bytes.length - 15));
  deepEqual(decode(short), s);
});

test("no strides at all", () => {
  equal(decode(pack(strides([]))).count, 0);
});

test("data that are cut short are refused", () => {
  const bytes = pack(strides([passes(1, 10)]));
  throws(() => decode(bytes.subarray(0, bytes.length - 20)), /cut short/);
});

test("base64", () => {
  deepEqual([...fromBase64(" AAH/gA== \n")], [0, 1, 255, 128]);
});
