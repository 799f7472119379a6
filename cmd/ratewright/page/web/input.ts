import type { View } from "./view";

/** What the picture does when it is touched. */
export interface Actions {
  changed(): void; // the view is another
  whole(): void;
  point(x: number, y: number): void; // hovered, in pixels
  leave(): void;
  pick(x: number, y: number): void; // clicked or tapped
  pickMiddle(): void; // Enter at the cross-hair
  clear(): void; // Escape
}

const step = 40; // pixels an arrow key moves the ground
const fineStep = 5;
const slop = 5; // pixels a finger may move and still tap

/** Lets pointer, wheel and keys move the picture. */
export function listen(canvas: HTMLCanvasElement, view: View, act: Actions): void {
  pointers(canvas, view, act);
  canvas.addEventListener("wheel", (e) => {
    e.preventDefault();
    const pixels = e.deltaMode === 1 ? e.deltaY * 16 : e.deltaMode === 2 ? e.deltaY * 400 : e.deltaY;
    // A pinch on a trackpad comes as a wheel with small steps.
    view.zoom(Math.exp(-Math.max(-400, Math.min(400, pixels)) * (e.ctrlKey ? 0.01 : 0.002)), e.offsetX, e.offsetY);
    act.changed();
  }, { passive: false });
  canvas.addEventListener("keydown", (e) => {
    if (e.ctrlKey || e.metaKey || e.altKey || !key(e, view, act)) return;
    e.preventDefault();
  });
}

/** The ground moves under the cross-hair in the middle. */
function key(e: KeyboardEvent, view: View, act: Actions): boolean {
  const d = e.shiftKey ? fineStep : step;
  const middle = (factor: number) => view.zoom(factor, view.width / 2, view.height / 2);
  switch (e.key) {
    case "ArrowLeft": view.pan(d, 0); break;
    case "ArrowRight": view.pan(-d, 0); break;
    case "ArrowUp": view.pan(0, d); break;
    case "ArrowDown": view.pan(0, -d); break;
    case "+":
    case "=": middle(1.5); break;
    case "-":
    case "_": middle(1 / 1.5); break;
    case "0": act.whole(); return true;
    case "Enter":
    case " ": act.pickMiddle(); return true;
    case "Escape": act.clear(); return true;
    default: return false;
  }
  act.changed();
  return true;
}

function pointers(canvas: HTMLCanvasElement, view: View, act: Actions): void {
  const down = new Map<number, { x: number; y: number }>();
  let moved = 0; // farthest from where the first finger came down
  let most = 0; // fingers since then
  let startX = 0, startY = 0;
  let lastTap = { time: -Infinity, x: 0, y: 0 };

  const at = (e: PointerEvent) => {
    const r = canvas.getBoundingClientRect();
    return { x: e.clientX - r.left, y: e.clientY - r.top };
  };
  const spread = () => {
    const [a, b] = [...down.values()];
    return { x: (a.x + b.x) / 2, y: (a.y + b.y) / 2, size: Math.max(1, Math.hypot(a.x - b.x, a.y - b.y)) };
  };

  canvas.addEventListener("pointerdown", (e) => {
    if (e.button !== 0) return;
    const p = at(e);
    canvas.setPointerCapture(e.pointerId);
    if (down.size === 0) {
      moved = most = 0;
      startX = p.x;
      startY = p.y;
    }
    down.set(e.pointerId, p);
    most = Math.max(most, down.size);
  });

  canvas.addEventListener("pointermove", (e) => {
    const p = at(e);
    const was = down.get(e.pointerId);
    if (was === undefined) {
      if (e.pointerType === "mouse" && down.size === 0) act.point(p.x, p.y);
      return;
    }
    moved = Math.max(moved, Math.hypot(p.x - startX, p.y - startY));
    if (down.size === 1) {
      down.set(e.pointerId, p);
      if (moved <= slop) return;
      view.pan(p.x - was.x, p.y - was.y);
    } else {
      const before = spread();
      down.set(e.pointerId, p);
      const after = spread();
      view.pan(after.x - before.x, after.y - before.y);
      view.zoom(after.size / before.size, after.x, after.y);
    }
    act.changed();
  });

  const up = (e: PointerEvent) => {
    if (!down.delete(e.pointerId) || down.size > 0 || e.type === "pointercancel") return;
    if (most > 1 || moved > slop) return;
    const p = at(e);
    const again = e.timeStamp - lastTap.time < 350 && Math.hypot(p.x - lastTap.x, p.y - lastTap.y) < 30;
    lastTap = { time: again ? -Infinity : e.timeStamp, x: p.x, y: p.y };
    if (again) {
      view.zoom(2, p.x, p.y);
      act.changed();
      return;
    }
    act.pick(p.x, p.y);
  };
  canvas.addEventListener("pointerup", up);
  canvas.addEventListener("pointercancel", up);
  canvas.addEventListener("pointerleave", () => {
    if (down.size === 0) act.leave();
  });
}
