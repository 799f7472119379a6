import { isEmpty, type Box } from "./geometry";

/** Pixels below what is framed, for the scale bar and north. */
const foot = 54;

/** Which part of the plane is in sight: x right, y up; the screen's y points down. */
export class View {
  width = 0; // of the picture, in CSS pixels
  height = 0;
  x = 0; // in the middle of the picture, centimetres
  y = 0;
  scale = 0.01; // pixels per centimetre
  private whole: Box = { x0: 0, y0: 0, x1: 1, y1: 1 };

  /** What the whole field is. */
  setWhole(b: Box): void {
    if (!isEmpty(b)) this.whole = b;
  }

  resize(width: number, height: number): void {
    const wasWhole = this.width === 0 || this.isWhole();
    this.width = width;
    this.height = height;
    if (wasWhole) this.showAll();
  }

  showAll(): void {
    this.frame(this.whole, 0.04);
  }

  isWhole(): boolean {
    const v = this.framed(this.whole, 0.04);
    return Math.abs(v.scale / this.scale - 1) < 1e-6 && Math.hypot(v.x - this.x, v.y - this.y) * this.scale < 0.5;
  }

  frame(b: Box, margin: number): void {
    Object.assign(this, this.framed(b, margin));
  }

  /** Where the view must stand to show a box with a margin around it. */
  framed(b: Box, margin: number): { x: number; y: number; scale: number } {
    const keep = 1 - 2 * margin;
    const height = Math.max(this.height - foot, this.height / 2);
    const scale = this.within(
      Math.min((keep * this.width) / Math.max(b.x1 - b.x0, 1), (keep * height) / Math.max(b.y1 - b.y0, 1)),
    );
    return { x: (b.x0 + b.x1) / 2, y: (b.y0 + b.y1) / 2 - (this.height - height) / 2 / scale, scale };
  }

  /** From eight fields' breadth to half a centimetre a pixel. */
  private within(scale: number): number {
    const size = Math.max(this.whole.x1 - this.whole.x0, this.whole.y1 - this.whole.y0, 100);
    const least = Math.min(this.width, this.height) / size / 4;
    return Math.min(Math.max(scale, least, 1e-7), 2);
  }

  /** Makes things larger by a factor; the ground at a point of the picture stays there. */
  zoom(factor: number, px: number, py: number): void {
    const gx = this.toX(px), gy = this.toY(py);
    this.scale = this.within(this.scale * factor);
    this.x = gx - (px - this.width / 2) / this.scale;
    this.y = gy + (py - this.height / 2) / this.scale;
    this.keepNear();
  }

  pan(dx: number, dy: number): void {
    this.x -= dx / this.scale;
    this.y += dy / this.scale;
    this.keepNear();
  }

  /** The middle of the picture stays over the field, so that it cannot be lost. */
  private keepNear(): void {
    this.x = Math.min(Math.max(this.x, this.whole.x0), this.whole.x1);
    this.y = Math.min(Math.max(this.y, this.whole.y0), this.whole.y1);
  }

  toX(px: number): number {
    return this.x + (px - this.width / 2) / this.scale;
  }

  toY(py: number): number {
    return this.y - (py - this.height / 2) / this.scale;
  }

  screenX(x: number): number {
    return this.width / 2 + (x - this.x) * this.scale;
  }

  screenY(y: number): number {
    return this.height / 2 - (y - this.y) * this.scale;
  }

  sight(): Box {
    return { x0: this.toX(0), y0: this.toY(this.height), x1: this.toX(this.width), y1: this.toY(0) };
  }
}
