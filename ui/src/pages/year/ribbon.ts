/** The geometry of the ribbon: days and units to pixels, lines and areas to paths. */
import { addDays, daysBetween, shortDay } from "../../lib/days";
import type { Bar, Kept, Place, RibbonData, State } from "../../lib/form";

/** The year's first and last day, over so many units of the ribbon, over so many pixels. */
export interface Axis {
  starts: string;
  ends: string;
  units: number;
  px: number;
}

/** How tall the strips of rain and of fit days are, in pixels. */
export const RAIN = 56;
export const FIT = 42;

export const perUnit = (axis: Axis): number => axis.px / axis.units;
export const perDay = (axis: Axis): number => axis.px / daysBetween(axis.starts, axis.ends);

/** Where a day lies, in pixels; days outside lie at the ends. */
export function xOfDay(axis: Axis, day: string): number {
  const within = Math.max(0, Math.min(daysBetween(axis.starts, day), daysBetween(axis.starts, axis.ends)));
  return within * perDay(axis);
}

/** The day so many pixels on from another, kept within the year. */
export function dayMoved(axis: Axis, day: string, dx: number): string {
  const moved = addDays(day, Math.round(dx / perDay(axis)));
  if (moved < axis.starts) return axis.starts;
  return moved > axis.ends ? axis.ends : moved;
}

/** A series by week, as the plan holds it. */
export type Point = [number, number];

/** A series as points at the middle of its weeks; weeks that are not known are left out. */
export function pointsOf(axis: Axis, start: string, weeks: (number | null)[], y: (value: number) => number): Point[] {
  return weeks.flatMap((value, week) => {
    if (value === null) return [];
    return [[xOfDay(axis, addDays(start, week * 7 + 3)), y(value)] as Point];
  });
}

export const pathOf = (points: Point[]): string =>
  points.map(([x, y], i) => `${i ? "L" : "M"}${round(x)} ${round(y)}`).join("");

/** The areas between two lines of equal weeks, where the first lies above the second on paper. */
export function areasBetween(upper: Point[], lower: Point[]): string {
  const areas: string[] = [];
  let from = -1;
  for (let i = 0; i <= upper.length; i++) {
    const apart = i < upper.length && (lower[i]?.[1] ?? 0) - (upper[i]?.[1] ?? 0) > 0.5;
    if (apart && from < 0) from = Math.max(0, i - 1);
    if (!apart && from >= 0) {
      const to = Math.min(i + 1, upper.length);
      areas.push(`${pathOf([...upper.slice(from, to), ...lower.slice(from, to).reverse()])}Z`);
      from = -1;
    }
  }
  return areas.join("");
}

const round = (n: number): number => Math.round(n * 10) / 10;

/** Two or three round marks up to a largest value. */
export function ticks(most: number): number[] {
  if (most <= 0) return [];
  const rough = most / 2.5;
  const tens = 10 ** Math.floor(Math.log10(rough));
  const step = ([1, 2, 5, 10].find((n) => n * tens >= rough) ?? 10) * tens;
  return Array.from({ length: Math.floor(most / step) }, (_, i) => (i + 1) * step);
}

/** A bar that a person can move: the thing behind it and the day that moves. */
export interface Movable {
  subject: string;
  kind: "planting" | "closing";
  field: "sow_on" | "closes";
  day: string;
  place: string;
  label: string;
}

/** What stands behind a bar, where its day lies within the year; undefined where it can't move. */
export function movableOf(
  axis: Axis,
  row: { name: string },
  bar: Bar,
  places: Place[],
  things: Record<string, Kept[]>,
): Movable | undefined {
  const kind = bar.kind === "closed" ? "closing" : "planting";
  const field = kind === "closing" ? "closes" : "sow_on";
  if (bar.kind === "season") return undefined;
  const found = (things[kind] ?? []).find((thing) => {
    const day = String(thing.body[field]);
    if (day < axis.starts || day > axis.ends) return false;
    if (bar.id !== undefined) return bar.id === thing.id;
    const here = kind === "closing" || placeName(places, thing) === row.name;
    return here && Math.abs(xOfDay(axis, day) - bar.x * perUnit(axis)) < perDay(axis) / 2;
  });
  if (found === undefined) return undefined;
  const day = String(found.body[field]);
  return { subject: found.id, kind, field, day, place: row.name, label: bar.label };
}

const placeName = (places: Place[], thing: Kept): string | undefined =>
  places.find((p) => p.id === thing.body["place"])?.name;

/** The rows as a table: what, from when, until when. */
export function asRows(axis: Axis, ribbon: Pick<RibbonData, "rows">): string[][] {
  const day = (x: number): string =>
    shortDay(dayMoved(axis, axis.starts, x * perUnit(axis)));
  return ribbon.rows.flatMap((row) =>
    [...row.bars, ...(row.windows ?? [])].map((bar) => [row.name, bar.label, day(bar.x), day(bar.x + bar.width)]),
  );
}

/** About how wide a text is at the ribbon's size. */
export const widthOf = (text: string): number => text.length * 8.9;

/** Marks that would touch, drawn as one with their count. */
export function together(marks: RibbonData["tasks"], unit: number, apart: number): RibbonData["tasks"] {
  const found: RibbonData["tasks"] = [];
  for (const mark of marks) {
    const last = found.at(-1);
    if (last !== undefined && (mark.x - last.x) * unit < apart) last.count += mark.count;
    else found.push({ ...mark });
  }
  return found;
}
