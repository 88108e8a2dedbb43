/** A sketch's measures on the flat sheet; the figures of record are the server's. */
import { compassOf } from "../../lib/earth";
import { acresOf, lengthOf, type XY } from "./sheet";

export interface Measured {
  yards: number;
  /** What the line would hold if it were closed; null for fewer than three points. */
  acres: number | null;
  /** The last leg: its length, and its bearing from true north. */
  leg: { yards: number; degrees: number; compass: string } | null;
}

export function measured(points: XY[]): Measured {
  const [a, b] = points.slice(-2);
  const leg = a === undefined || b === undefined || lengthOf([a, b]) === 0 ? null : { yards: lengthOf([a, b]), ...bearing(a, b) };
  return { yards: lengthOf(points), acres: points.length > 2 ? acresOf(points) : null, leg };
}

/** From one point of the sheet to another: whole degrees clockwise from north, and in a word. */
export function bearing([ax, ay]: XY, [bx, by]: XY): { degrees: number; compass: string } {
  const found = (Math.atan2(bx - ax, ay - by) * 180) / Math.PI;
  const degrees = Math.round((found + 360) % 360) % 360;
  return { degrees, compass: compassOf(degrees) };
}
