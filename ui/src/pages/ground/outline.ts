/** An outline while it is drawn: runs of corners, closed by nobody until it is a shape again. */
import type { LonLat } from "../../lib/earth";
import type { Shape } from "../../lib/form";

/** The simple forms in which something new is drawn. */
export type Geometry = "Point" | "LineString" | "Polygon";

export interface Outline {
  /** The type of the shape that it becomes; what came as several areas stays several. */
  type: string;
  runs: LonLat[][];
  /** How many runs each area has: its edge, and its holes. */
  rings: number[];
}

/** A corner: which run, which of its corners. */
export type Spot = [run: number, at: number];

export const isArea = (type: string): boolean => type.includes("Polygon");
export const empty = (type: Geometry): Outline => ({ type, runs: [[]], rings: [1] });
/** The fewest corners that a run of a type has. */
export const leastOf = (type: string): number => (isArea(type) ? 3 : type.includes("Line") ? 2 : 1);

/** A shape as an outline. */
export function outlineOf({ type, coordinates }: Shape): Outline {
  const areas = (type === "MultiPolygon" ? coordinates : [coordinates]) as LonLat[][][];
  if (isArea(type)) {
    return { type, runs: areas.flat().map((ring) => ring.slice(0, -1)), rings: areas.map((a) => a.length) };
  }
  const runs = type === "Point" ? [[coordinates as LonLat]] : type === "LineString" ? [coordinates as LonLat[]] : (coordinates as LonLat[][]);
  return { type, runs, rings: [runs.length] };
}

/** The shape that an outline comes to; null while a run has too few corners. */
export function shapeOf({ type, runs, rings }: Outline): Shape | null {
  if (runs.some((run) => run.length < leastOf(type))) return null;
  if (type === "Point") return { type, coordinates: runs[0]![0] };
  if (type === "LineString") return { type, coordinates: runs[0] };
  if (!isArea(type)) return { type, coordinates: runs };
  const closed = runs.map((run) => [...run, run[0]!]);
  const areas = rings.map((count, i) => {
    const before = rings.slice(0, i).reduce((sum, n) => sum + n, 0);
    return closed.slice(before, before + count);
  });
  return { type, coordinates: type === "MultiPolygon" ? areas : areas[0] };
}

/** The edges of a run, by the corner after which each begins; an area's last one closes it. */
export function edgesOf(run: LonLat[], area: boolean): { from: number; a: LonLat; b: LonLat }[] {
  const ends = area && run.length > 2 ? [...run, run[0]!] : run;
  return ends.slice(1).map((b, i) => ({ from: i, a: ends[i]!, b }));
}

/** An outline with one run changed. */
export const withRun = (outline: Outline, run: number, points: LonLat[]): Outline => ({
  ...outline,
  runs: outline.runs.with(run, points),
});

/** Whether two edges of an area cross: no ground is enclosed by such an outline. */
export function crosses({ type, runs }: Outline): boolean {
  if (!isArea(type)) return false;
  return runs.some((run) => {
    const edges = edgesOf(run, true);
    return edges.some((e, i) => edges.slice(i + 2).some((f, j) => {
      const next = i === 0 && i + 2 + j === edges.length - 1;
      return !next && meet(e.a, e.b, f.a, f.b);
    }));
  });
}

/** Whether one stretch passes through another (those that only touch do not). */
function meet(a: LonLat, b: LonLat, c: LonLat, d: LonLat): boolean {
  const side = (p: LonLat, q: LonLat, r: LonLat): number =>
    Math.sign((q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0]));
  return side(a, b, c) * side(a, b, d) < 0 && side(c, d, a) * side(c, d, b) < 0;
}
