import type { MapData } from "./data";
import { canInflate, decode, fromBase64, inflate } from "./decode";
import { Field } from "./field";
import { Picture } from "./picture";

/** The text of a data block of the page. */
function block(id: string): string {
  return document.getElementById(id)?.textContent?.trim() ?? "";
}

/** Waits until the browser has had time to show what is drawn. */
function shown(): Promise<void> {
  return new Promise((done) => setTimeout(done, 0));
}

async function start(): Promise<void> {
  const figure = document.getElementById("picture");
  const map = block("map-data");
  if (figure === null || map === "") return;
  const packed = block("track-data");
  if (packed !== "" && !canInflate()) {
    say("This browser shows the still picture only; detail of the map needs a newer one.");
    return;
  }
  const field = new Field(JSON.parse(map) as MapData);
  const picture = new Picture(figure, field);
  // What needs no strides is seen first.
  picture.draw();
  if (packed !== "") {
    await shown();
    try {
      field.setStrides(decode(await inflate(fromBase64(packed))));
    } catch (e) {
      unread(e);
    }
  }
  field.complete = true;
  picture.ready();
}

/** The reason is for those who look for it; a reader can do nothing with it. */
function unread(e: unknown): void {
  console.error(e);
  say("The detail of the map could not be read: this file may be damaged. All figures on the page hold.");
}

/** Says something where the story of a spot would stand. */
function say(words: string): void {
  const spot = document.getElementById("spot");
  if (spot !== null) spot.textContent = words;
}

start().catch(unread);
