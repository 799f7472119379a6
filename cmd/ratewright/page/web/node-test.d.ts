// The little of Node that the tests use; no types of Node are installed.
declare module "node:test" {
  export function test(name: string, run: () => void | Promise<void>): void;
}
declare module "node:assert/strict" {
  export function equal(a: unknown, b: unknown, words?: string): void;
  export function deepEqual(a: unknown, b: unknown, words?: string): void;
  export function ok(a: unknown, words?: string): void;
  export function throws(run: () => void, about?: RegExp): void;
}
