import type { Field } from "./field";
import { inShape, isEmpty } from "./geometry";
import { stridesAt, visits, type Visit } from "./visits";
import { trackOf } from "./data";

/** What is to be said of a spot, a line each: a name and what holds for it. */
export type Story = [name: string, words: string][];

/** Tells all that is known of a spot of the field. */
export function storyOf(f: Field, x: number, y: number): Story {
  const story: Story = [];
  const inField = isEmpty(f.boundary.box) || inShape(f.boundary, x, y);
  const barred = f.offLimits.find((o) => inShape(o.shape, x, y));
  const zone = f.zoneAt(x, y);
  if (!inField) story.push(["Place", "outside the field"]);
  if (barred !== undefined) story.push(["Place", "off limits: " + barred.name]);
  if (zone !== undefined && inField) story.push(["Zone", zone.data.id]);
  else if (inField && barred === undefined && f.zones.length > 0) story.push(["Zone", "none"]);

  const planned = inField && barred === undefined ? (zone?.data.rate ?? null) : null;
  if (planned !== null) story.push([f.data.rateTitle, withUnit(zone?.data.label || rateText(planned), f.data.rateUnit)]);
  if (f.strides !== null) story.push(...putDown(f, x, y, planned));
  else if (f.data.kind === "reconcile" && !f.complete) story.push(["Applied", "still being read"]);

  const found = f.patchesAt(x, y).map((p) => {
    const more = [p.data.area, p.data.short && p.data.short + " short"].filter(Boolean).join(", ");
    return more === "" ? p.data.title : `${p.data.title} (${more} in all)`;
  });
  if (found.length > 0) story.push(["Found", found.join("; ")]);
  if (inField) story.push(...(zone?.data.story ?? []));
  const why = (inField && zone?.data.why) || [];
  if (why.length > 0) story.push([reasons, why.join("; ")]);
  return story;
}

function putDown(f: Field, x: number, y: number, planned: number | null): Story {
  const levels = f.strides;
  if (levels === null) return [];
  const s = levels.strides;
  const all = visits(s, stridesAt(levels, x, y));
  const story: Story = [];
  if (all.length === 0) {
    story.push(["Applied", "nothing"]);
    if (planned !== null && planned > 0) story.push(["Short by", withUnit(rateText(planned), f.data.rateUnit)]);
    return story;
  }
  const sum = all.reduce((n, v) => n + v.rate, 0);
  if (f.hasRate) {
    const each = all.length > 1 ? ` (${all.map((v) => rateText(v.rate)).join(" + ")})` : "";
    story.push(["Applied", Number.isNaN(sum) ? "not known" : withUnit(rateText(sum) + each, f.data.rateUnit)]);
    const short = (planned ?? 0) - sum;
    if (planned !== null && short > 0) story.push(["Short by", withUnit(rateText(short), f.data.rateUnit)]);
    if (planned !== null && short < 0) story.push(["Over by", withUnit(rateText(-short), f.data.rateUnit)]);
  }
  story.push(["Times covered", String(all.length)]);
  if (f.hasDepth) story.push(["Depth", all.map((v) => depthText(f, v)).join(", then ")]);
  if (f.hasTime) story.push(["When", all.map((v) => clock(v.time)).join(", then ")]);
  const machines = new Set(all.map((v) => f.data.tracks?.[trackOf(s, v.strides[0])] ?? ""));
  const names = [...machines].filter((m) => m !== "");
  if (names.length > 0 && (f.data.tracks?.length ?? 0) > 1) story.push(["Machine", names.join(", ")]);
  return story;
}

function depthText(f: Field, v: Visit): string {
  if (Number.isNaN(v.depth)) return "not known";
  const words = withUnit(v.depth.toFixed(1), f.data.depthUnit);
  return f.data.shallow > 0 && v.depth < f.data.shallow
    ? `${words}, less than ${withUnit(String(Number(f.data.shallow.toFixed(2))), f.data.depthUnit)}`
    : words;
}

export function rateText(v: number): string {
  if (Number.isNaN(v)) return "not known";
  return v.toFixed(1); // so that prescribed less applied is what is short
}

function withUnit(words: string, unit: string): string {
  return unit === "" || words.endsWith(unit) ? words : `${words} ${unit}`;
}

const months = ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"];

/** A time as the log has it, which is UTC: no other clock is guessed. */
export function clock(seconds: number): string {
  const d = new Date(seconds * 1000);
  if (Number.isNaN(d.getTime())) return "not known";
  const two = (n: number) => String(n).padStart(2, "0");
  const day = `${d.getUTCDate()} ${months[d.getUTCMonth()]} ${d.getUTCFullYear()}`;
  return `${day} ${two(d.getUTCHours())}:${two(d.getUTCMinutes())}:${two(d.getUTCSeconds())} UTC`;
}

/** More of a name or a reason than this is not read; it would fill the page. */
const longest = 400;

/** Reasons are the program's own sentences, several of them. */
const reasons = "Why this rate";

/** Words that are too long end in an ellipsis. */
export function cut(words: string, most = longest): string {
  const letters = [...words.slice(0, 2 * most + 2)];
  return letters.length > most ? letters.slice(0, most).join("") + "\u2026" : words;
}

/** Puts a story into the page, always as text. */
export function tell(box: HTMLElement, story: Story): void {
  box.replaceChildren(
    ...story.map(([name, words]) => {
      const line = document.createElement("span");
      const b = document.createElement("b");
      b.textContent = name;
      const said = document.createElement("span");
      said.textContent = cut(words, name === reasons ? 3 * longest : longest);
      // The colon is for those who hear the line or copy it.
      line.append(b, ": ", said);
      return line;
    }),
  );
}
