/**
 * What the page itself measures or takes in: lengths and areas of the map, rain, a rate of seed.
 * The record keeps the trade's units; every other figure comes from the server as it is read.
 */
import { reading } from "./units.svelte";

const METRIC = {
  yd: { unit: "m", factor: 0.9144 },
  ft: { unit: "m", factor: 0.3048 },
  ac: { unit: "ha", factor: 0.40468564224 },
  in: { unit: "mm", factor: 25.4 },
  "lb/ac": { unit: "kg/ha", factor: 0.45359237 / 0.40468564224 },
  "seeds/sq ft": { unit: "seeds/m²", factor: 1 / 0.09290304 },
} as const;

type Kept = keyof typeof METRIC;

/** The unit that a kept one is read in. */
export const unitOf = (kept: Kept): string => (reading.metric ? METRIC[kept].unit : kept);

/** A kept number as it is read; what was typed comes back as it was typed. */
export const asRead = (value: number, kept: Kept): number =>
  reading.metric ? dusted(value * METRIC[kept].factor) : value;

/** A number that was typed as it is kept. */
export const asKept = (value: number, kept: Kept): number =>
  reading.metric ? exact(value / METRIC[kept].factor) : value;

/** How a number of a form becomes what is kept: `kept = typed * factor + offset`, in `unit`. */
export interface Stored {
  unit: string;
  factor: number;
  offset: number;
}

/** A number that was typed in a form, as it is kept. */
export const keptOf = (typed: number, how: Stored | null | undefined): number =>
  how ? exact(typed * how.factor + how.offset) : typed;

/** A kept number as a form shows it. */
export const typedOf = (kept: number, how: Stored | null | undefined): number =>
  how ? dusted((kept - how.offset) / how.factor) : kept;

/** A length of the map: '432 yd', '395 m'. */
export const lengthText = (yards: number): string => said(Math.round(asRead(yards, "yd")), unitOf("yd"));

/** An area of the map: '1.65 ac', '0.67 ha'. */
export const areaText = (acres: number): string => said(asRead(acres, "ac").toFixed(2), unitOf("ac"));

/** Rain in a gauge: '1.4 in', '35.6 mm'. */
export const rainText = (inches: number): string =>
  said(reading.metric ? Number(asRead(inches, "in").toFixed(1)) : inches, unitOf("in"));

/** A step by which something is drawn in feet, with its metric beside it: '10 ft (3 m)'. */
export const feetText = (feet: number): string =>
  reading.metric ? `${feet} ft (${Number(asRead(feet, "ft").toPrecision(2))} m)` : `${feet} ft`;

const LENGTHS = [5, 10, 25, 50, 100, 200, 300, 500, 1000, 2000, 5000];

/** The longest length, round as it is read, that is not above a length; both in yards. */
export function roundLength(yards: number): number {
  const fit = LENGTHS.filter((length) => asKept(length, "yd") <= yards).at(-1);
  return asKept(fit ?? LENGTHS[0]!, "yd");
}

const said = (number: number | string, unit: string): string => `${number} ${unit}`;
// twelve digits are kept and ten are shown, so that what was typed comes back as it was typed
const exact = (value: number): number => Number(value.toPrecision(12));
const dusted = (value: number): number => Number(value.toPrecision(10));
