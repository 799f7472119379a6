// Colours of the picture, the same as of the still one. Those of rates and findings
// come with the page's data.

export interface Palette {
  dark: boolean;
  paper: string;
  ground: string; // the field where nothing is drawn on it
  ink: string;
  soft: string; // lines that matter less
  halo: string; // around text
  offLimits: string;
  path: string;
  mark: string; // cross-hair, chosen patch
  /** Depth, shallow to deep: one hue, not that of the rates. */
  depth: string[];
  /** Covered once, twice, three times and more. */
  visits: string[];
}

const light: Palette = {
  dark: false,
  paper: "#fbf9f4",
  ground: "#f1ede2",
  ink: "#1c1b18",
  soft: "#8f8a7c",
  halo: "#fffdf8",
  offLimits: "#6a665b",
  path: "#33302a",
  mark: "#000000",
  depth: ["#f3e6d8", "#dfc3a3", "#c39a6c", "#9a6f40", "#6d4a24", "#432b11"],
  visits: ["#cfcabd", "#8d8779", "#3f3b33"],
};

const dark: Palette = {
  dark: true,
  paper: "#16181a",
  ground: "#24272a",
  ink: "#efece4",
  soft: "#8b909a",
  halo: "#101214",
  offLimits: "#9d988b",
  path: "#e9e4d8",
  mark: "#ffffff",
  depth: ["#3a2c1f", "#5f4429", "#8a6238", "#b3864f", "#d6b07d", "#f4dfc2"],
  visits: ["#4d4a43", "#8b867a", "#e2dccf"],
};

export function palette(isDark: boolean): Palette {
  return isDark ? dark : light;
}

export type RGB = [number, number, number];

export function rgb(hex: string): RGB {
  const n = parseInt(hex.slice(1), 16);
  return Number.isNaN(n) ? [128, 128, 128] : [(n >> 16) & 255, (n >> 8) & 255, n & 255];
}

/** The colour at 0 to 1 along a ramp. */
export function along(ramp: RGB[], at: number): RGB {
  if (ramp.length === 0) return [128, 128, 128];
  const t = Math.min(Math.max(at, 0), 1) * (ramp.length - 1);
  const i = Math.min(Math.floor(t), ramp.length - 2);
  if (i < 0) return ramp[0];
  const f = t - i;
  return [0, 1, 2].map((c) => Math.round(ramp[i][c] + f * (ramp[i + 1][c] - ramp[i][c]))) as RGB;
}


/** Where a value lies between the ends of a ramp; the middle where both are one. */
export function share(value: number, low: number, high: number): number {
  return high > low ? (value - low) / (high - low) : 0.5;
}

/** The colour of a ramp's step that a value is in, as in the still picture. */
export function step<T>(ramp: ArrayLike<T>, at: number): T {
  const n = ramp.length;
  return ramp[Math.max(0, Math.min(n - 1, Math.floor(at * n)))];
}

/** A colour as a canvas keeps it in memory. */
export function packed([r, g, b]: RGB): number {
  return (255 << 24 | b << 16 | g << 8 | r) >>> 0;
}


/** Black or white, whichever is told better from a ground. */
export function inkOn(hex: string): string {
  const [r, g, b] = rgb(hex).map((c) => (c / 255) ** 2.2);
  const light = 0.2126 * r + 0.7152 * g + 0.0722 * b;
  return 1.05 / (light + 0.05) > (light + 0.05) / 0.056 ? "#ffffff" : "#14130f";
}
