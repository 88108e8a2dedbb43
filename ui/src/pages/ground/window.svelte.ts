/** What part of the sheet is seen: moved by hand, drawn near by wheel, pinch or key. */
import type { XY } from "./sheet";

/** The least that is seen, in yards across. */
const NEAREST = 20;

export class Window {
  x = $state(0);
  y = $state(0);
  /** Yards across and down. */
  width = $state(1);
  height = $state(1);
  #whole = { width: 1, height: 1 };
  #form = 1;
  /** Whether nobody has moved it since the whole was shown. */
  #fits = true;
  #held = new Map<number, XY>();
  /** Whether a hand has moved far enough that lifting it chooses nothing. */
  moved = false;

  /** See the whole sheet, in the middle of the frame. */
  fit(width: number, height: number): void {
    this.#whole = { width, height };
    this.#fits = true;
    this.width = Math.max(width, height * this.#form);
    this.height = this.width / this.#form;
    this.x = (width - this.width) / 2;
    this.y = (height - this.height) / 2;
  }

  /** The frame has another form (width over height): what is in its middle stays there. */
  frame(form: number): void {
    this.#form = form;
    if (this.#fits) {
      this.fit(this.#whole.width, this.#whole.height);
      return;
    }
    const height = this.width / form;
    this.y += (this.height - height) / 2;
    this.height = height;
  }

  /** See a part of the sheet, with as much again around it. */
  show(points: XY[]): void {
    const [xs, ys] = [points.map((p) => p[0]), points.map((p) => p[1])];
    const [west, east, north, south] = [Math.min(...xs), Math.max(...xs), Math.min(...ys), Math.max(...ys)];
    this.#fits = false;
    this.width = 2 * Math.max(east - west, (south - north) * this.#form, NEAREST / 2);
    this.height = this.width / this.#form;
    this.x = (west + east - this.width) / 2;
    this.y = (north + south - this.height) / 2;
  }

  /** Come nearer (under 1) or go off, about a point of the sheet. */
  near(by: number, [x, y]: XY = [this.x + this.width / 2, this.y + this.height / 2]): void {
    const widest = Math.max(this.#whole.width, this.#whole.height) * 3;
    const held = Math.min(widest, Math.max(NEAREST, this.width * by)) / this.width;
    this.#fits = false;
    this.x = x - (x - this.x) * held;
    this.y = y - (y - this.y) * held;
    this.width *= held;
    this.height *= held;
  }

  shift(right: number, down: number): void {
    this.#fits = false;
    this.x += right * this.width;
    this.y += down * this.height;
  }

  /** A point of the frame, in pixels, on the sheet. */
  sheetAt([px, py]: XY, frame: DOMRect): XY {
    return [
      this.x + ((px - frame.left) / frame.width) * this.width,
      this.y + ((py - frame.top) / frame.height) * this.height,
    ];
  }

  down(id: number, at: XY): void {
    if (this.#held.size === 0) this.moved = false;
    this.#held.set(id, at);
  }

  move(id: number, at: XY, frame: DOMRect): void {
    const before = this.#held.get(id);
    if (before === undefined) return;
    const other = [...this.#held].find(([i]) => i !== id)?.[1];
    if (!this.moved && Math.hypot(at[0] - before[0], at[1] - before[1]) < 6) return;
    this.moved = true;
    if (other !== undefined) {
      const was = Math.hypot(before[0] - other[0], before[1] - other[1]);
      const is = Math.hypot(at[0] - other[0], at[1] - other[1]);
      if (is > 0) this.near(was / is, this.sheetAt([(at[0] + other[0]) / 2, (at[1] + other[1]) / 2], frame));
    } else {
      this.shift((before[0] - at[0]) / frame.width, (before[1] - at[1]) / frame.height);
    }
    this.#held.set(id, at);
  }

  up(id: number): void {
    this.#held.delete(id);
  }
}
