/** Points of the earth, good to a few yards over a tract; what counts is reckoned by the server. */
import { compass } from "./words";
import type { Shape } from "./form";

export type LonLat = [number, number];
export type XY = [number, number];

/** A degree of latitude in yards: off by less than a part in two hundred. */
export const YARDS_A_DEGREE = 121_740;

/** A degree of longitude in yards at a latitude. */
export const yardsAcross = (lat: number): number => YARDS_A_DEGREE * Math.cos((lat * Math.PI) / 180);

const COMPASS = ["N", "NE", "E", "SE", "S", "SW", "W", "NW"];

/** A direction in a word: of 215 degrees from north it is SW. */
export const compassOf = (degrees: number): string => compass(COMPASS[Math.round(degrees / 45) % 8]!);

/** All corners of a shape, in order. */
export function corners(shape: Shape | null): LonLat[] {
  const flat = (value: unknown): LonLat[] => {
    if (!Array.isArray(value)) return [];
    return typeof value[0] === "number" ? [value as LonLat] : value.flatMap(flat);
  };
  return flat(shape?.coordinates);
}
