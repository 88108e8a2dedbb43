/** What is being drawn: an outline of a place, a line to split one by, or a line to measure along. */
import type { LonLat } from "../../lib/earth";
import type { Shape } from "../../lib/form";
import { crosses, empty, isArea, leastOf, outlineOf, shapeOf, withRun, type Geometry, type Outline, type Spot } from "./outline";

export type Tool = "draw" | "split" | "measure";

export class Drawing {
  tool = $state<Tool | null>(null);
  /** The kind of place, and which one; null for a place that is not there yet. */
  kind = $state("");
  subject = $state<string | null>(null);
  outline = $state.raw<Outline>(empty("Point"));
  /** The corner that was touched last. */
  picked = $state.raw<Spot | null>(null);
  /** Whether corners are laid on what lies near. */
  snaps = $state(true);
  /** Where the corner under the hand is laid. */
  ring = $state.raw<LonLat | null>(null);
  /** Whether an outline that was there is reshaped. */
  reshapes = $state(false);
  #past = $state.raw<Outline[]>([]);
  #ahead = $state.raw<Outline[]>([]);
  #held: Outline | null = null;

  /** Draw a place, new or not drawn yet. */
  draw(kind: string, type: Geometry, subject: string | null = null): void {
    this.#begin("draw", empty(type), kind, subject);
  }

  /** Move the corners of a place. */
  reshape(kind: string, subject: string, shape: Shape): void {
    this.#begin("draw", outlineOf(shape), kind, subject);
    this.reshapes = true;
  }

  /** Draw the line that splits a place. */
  split(subject: string): void {
    this.#begin("split", empty("LineString"), "", subject);
  }

  measure(): void {
    this.#begin("measure", empty("LineString"), "", null);
  }

  /** Lay the pencil down; what was drawn is gone. */
  stop(): void {
    this.#begin(null, empty("Point"), "", null);
  }

  #begin(tool: Tool | null, outline: Outline, kind: string, subject: string | null): void {
    Object.assign(this, { tool, outline, kind, subject, picked: null, ring: null, reshapes: false });
    this.#past = [];
    this.#ahead = [];
    this.#held = null;
  }

  get points(): LonLat[] {
    return this.outline.runs.at(-1) ?? [];
  }

  /** The shape as drawn so far; null while there are too few corners. */
  get shape(): Shape | null {
    return shapeOf(this.outline);
  }

  /** Whether edges cross, so that no area is enclosed. */
  get crossed(): boolean {
    return crosses(this.outline);
  }

  /** Whether a touch of the ground adds a corner: not to an area that is closed already. */
  get grows(): boolean {
    return this.tool !== null && !(this.reshapes && isArea(this.outline.type));
  }

  get canBack(): boolean {
    return this.#past.length > 0;
  }

  get canAgain(): boolean {
    return this.#ahead.length > 0;
  }

  /** Whether the picked corner can be taken out, so that an outline is left that was there. */
  get canTake(): boolean {
    const run = this.picked === null ? undefined : this.outline.runs[this.picked[0]];
    return run !== undefined && (!this.reshapes || run.length > leastOf(this.outline.type));
  }

  /** A corner at the end; a point has only one. */
  add(point: LonLat): void {
    const last = this.outline.runs.length - 1;
    const points = this.outline.type === "Point" ? [point] : [...this.points, point];
    this.#change(withRun(this.outline, last, points));
    this.picked = [last, points.length - 1];
  }

  /** A corner between one and the next. */
  insert([run, at]: Spot, point: LonLat): void {
    this.#change(withRun(this.outline, run, this.outline.runs[run]!.toSpliced(at + 1, 0, point)));
    this.picked = [run, at + 1];
  }

  /** Take a corner in hand; all moves until another is taken are one step back. */
  hold(spot: Spot): void {
    this.picked = spot;
    this.#held = this.outline;
  }

  move([run, at]: Spot, point: LonLat): void {
    const moved = withRun(this.outline, run, this.outline.runs[run]!.with(at, point));
    if (this.#held === null) this.outline = moved;
    else this.#change(moved);
  }

  /** Take the picked corner out. */
  take(): void {
    if (this.picked === null || !this.canTake) return;
    const [run, at] = this.picked;
    this.#change(withRun(this.outline, run, this.outline.runs[run]!.toSpliced(at, 1)));
    this.picked = null;
  }

  back(): void {
    this.#step(this.#past, (past) => (this.#past = past), () => (this.#ahead = [...this.#ahead, this.outline]));
  }

  again(): void {
    this.#step(this.#ahead, (ahead) => (this.#ahead = ahead), () => (this.#past = [...this.#past, this.outline]));
  }

  #step(from: Outline[], shorten: (left: Outline[]) => void, keep: () => void): void {
    const found = from.at(-1);
    if (found === undefined) return;
    shorten(from.slice(0, -1));
    keep();
    this.outline = found;
    this.picked = null;
    this.ring = null;
    this.#held = null;
  }

  #change(next: Outline): void {
    this.#past = [...this.#past, this.outline];
    this.#ahead = [];
    this.#held = null;
    this.outline = next;
  }
}
