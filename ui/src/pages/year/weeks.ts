/** The weeks on the ribbon: the scale of their rain, and the week under a finger. */
import type { RibbonWeek } from "../../lib/form";

/** The most that any week's marks reach, in inches, with a little air; 0 where nothing is known. */
export function mostRain(weeks: RibbonWeek[]): number {
  const reach = (w: RibbonWeek): number => Math.max(w.rain?.[2] ?? 0, w.fell ?? 0, w.gauge ?? 0);
  return Math.max(0, ...weeks.map(reach)) * 1.06;
}

export const knowsRain = (weeks: RibbonWeek[]): boolean =>
  weeks.some((w) => w.rain !== null || w.fell !== null || w.gauge !== null);

export const knowsFit = (weeks: RibbonWeek[]): boolean => weeks.some((w) => w.fit !== null);

/** The week that holds a place of the ribbon; the nearest one outside. */
export function weekAt(weeks: RibbonWeek[], x: number): number {
  const after = weeks.findIndex((w) => x < w.x + w.width);
  return after < 0 ? weeks.length - 1 : after;
}

/** How each of seven days stands: fit on every plot, on the best one, or on none. */
export function daysOf(fit: [number, number] | null): ("every" | "best" | "none")[] {
  const [least, most] = fit === null ? [0, 0] : fit.map(Math.round) as [number, number];
  return Array.from({ length: 7 }, (_, day) => (day < least ? "every" : day < most ? "best" : "none"));
}

/** Where an arrow key leads from a week. */
export function stepped(week: number, key: string, count: number): number | undefined {
  const by = { ArrowLeft: -1, ArrowRight: 1, PageDown: -4, PageUp: 4, Home: -count, End: count }[key];
  return by === undefined ? undefined : Math.max(0, Math.min(count - 1, week + by));
}
