/** A flat sheet for drawing alone: yards east and south of a corner. The acres that count are the server's. */
import { corners, YARDS_A_DEGREE, yardsAcross, type LonLat, type XY } from "../../lib/earth";
import type { Place, Shape } from "../../lib/form";
import { roundLength } from "../../lib/measure";

export type { XY };

export interface FlatSheet {
  width: number;
  height: number;
  /** Where a point of the earth lies on the sheet, and back. */
  at: (point: LonLat) => XY;
  back: (point: XY) => LonLat;
}

const SQUARE_YARDS_AN_ACRE = 4840;

/** The sheet that holds these points with a margin; null where there are none. */
export function sheetOf(points: LonLat[], margin: number): FlatSheet | null {
  if (points.length === 0) return null;
  const lons = points.map((p) => p[0]);
  const lats = points.map((p) => p[1]);
  const west = Math.min(...lons);
  const north = Math.max(...lats);
  const across = yardsAcross((north + Math.min(...lats)) / 2);
  const at = ([lon, lat]: LonLat): XY => [
    (lon - west) * across + margin,
    (north - lat) * YARDS_A_DEGREE + margin,
  ];
  const back = ([x, y]: XY): LonLat => [
    west + (x - margin) / across,
    north - (y - margin) / YARDS_A_DEGREE,
  ];
  const [x, y] = at([Math.max(...lons), Math.min(...lats)]);
  return { width: x + margin, height: y + margin, at, back };
}

/** An SVG path of a shape: lines open, areas closed. */
export function pathOf(shape: Shape, at: FlatSheet["at"]): string {
  const area = shape.type.includes("Polygon");
  const run = (points: LonLat[]): string =>
    points.map((p, i) => (i ? "L" : "M") + at(p).map((v) => v.toFixed(1)).join(" ")).join("") + (area ? "Z" : "");
  const runs = (value: unknown): string => {
    const list = value as unknown[][];
    return typeof list[0]?.[0] === "number" ? run(list as LonLat[]) : list.map(runs).join("");
  };
  return shape.type.includes("Point") ? "" : runs(shape.coordinates);
}

/** Where a name goes: in the middle of the box that holds the shape; halfway along a line. */
export function middle(shape: Shape, at: FlatSheet["at"]): XY {
  const points = corners(shape).map(at);
  if (shape.type.includes("Line")) return points[Math.floor(points.length / 2)] ?? [0, 0];
  const mid = (values: number[]): number => (Math.min(...values) + Math.max(...values)) / 2;
  return [mid(points.map((p) => p[0])), mid(points.map((p) => p[1]))];
}

/** The length of a run of points, in yards of the sheet. */
export function lengthOf(points: XY[]): number {
  return points.slice(1).reduce((sum, p, i) => sum + Math.hypot(p[0] - points[i]![0], p[1] - points[i]![1]), 0);
}

/** What a ring holds, in acres of the sheet (the shoelace rule). */
export function acresOf(points: XY[]): number {
  const twice = points.reduce((sum, [x, y], i) => {
    const [nextX, nextY] = points[(i + 1) % points.length]!;
    return sum + x * nextY - nextX * y;
  }, 0);
  return Math.abs(twice) / 2 / SQUARE_YARDS_AN_ACRE;
}

/** The longest round bar, in yards, that takes no more than a third of what is seen. */
export const scaleBar = (width: number): number => roundLength(width / 3);

/** A kind as a class of the style sheet. */
export const classOf = (kind: string): string => kind.replaceAll(/\W/g, "-");

const UNDER = ["boundary", "soil zone", "right-of-way", "timber", "cover", "native-grass field", "water", "plot"];

/** Places in the order they are drawn: what is wide lies under what is small. */
export const drawnOrder = (places: Place[]): Place[] =>
  places.filter((p) => p.shape).toSorted((a, b) => order(a) - order(b));

const order = (place: Place): number => {
  const at = UNDER.indexOf(place.kind);
  return at < 0 ? UNDER.length + (place.shape?.type === "Point" ? 1 : 0) : at;
};
