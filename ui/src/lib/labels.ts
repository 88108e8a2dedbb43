/** Names on the map: each where it fits, none over another; what finds no room is left out. */
import type { XY } from "./earth";

export interface Wanted {
  id: string;
  text: string;
  spot: XY;
  /** A sign stands at the spot, so the name goes beside it. */
  beside: boolean;
  /** Those who come first in the list keep their room; one that must be shown is shown. */
  must?: boolean;
}

export interface Placed {
  id: string;
  text: string;
  x: number;
  y: number;
  anchor: "start" | "middle" | "end";
}

/** Room that is taken. */
export interface Box {
  west: number;
  east: number;
  north: number;
  south: number;
}

const WIDE = 0.56;

/** Place names of a size (all in units of the sheet), in their order. */
export function placeNames(wanted: Wanted[], size: number, taken: Box[] = []): Placed[] {
  const full = [...taken, ...wanted.filter((w) => w.beside).map((w) => around(w.spot, size * 0.6))];
  const found: Placed[] = [];
  for (const want of wanted) {
    const spots = want.beside ? beside(want, size) : [...over(want, size)];
    const own = want.beside ? around(want.spot, size * 0.6) : null;
    const free = spots.find((s) => !full.some((box) => !same(box, own) && overlap(box, boxOf(s, size))));
    const spot = free ?? (want.must ? spots[0] : undefined);
    if (spot === undefined) continue;
    full.push(boxOf(spot, size));
    found.push(spot);
  }
  return found;
}

function beside({ id, text, spot: [x, y] }: Wanted, size: number): Placed[] {
  const off = size * 0.9;
  const base = { id, text };
  return [
    { ...base, x: x + off, y: y + size * 0.35, anchor: "start" },
    { ...base, x: x - off, y: y + size * 0.35, anchor: "end" },
    { ...base, x, y: y - off, anchor: "middle" },
    { ...base, x, y: y + off + size * 0.7, anchor: "middle" },
    { ...base, x: x + off * 0.7, y: y - off * 0.6, anchor: "start" },
    { ...base, x: x + off * 0.7, y: y + off * 1.3, anchor: "start" },
    { ...base, x: x - off * 0.7, y: y - off * 0.6, anchor: "end" },
    { ...base, x: x - off * 0.7, y: y + off * 1.3, anchor: "end" },
  ];
}

function* over({ id, text, spot: [x, y] }: Wanted, size: number): Generator<Placed> {
  for (const lines of [0, -1.3, 1.3, -2.6, 2.6]) {
    yield { id, text, x, y: y + size * (0.35 + lines), anchor: "middle" };
  }
}

function boxOf({ text, x, y, anchor }: Placed, size: number): Box {
  const width = text.length * size * WIDE;
  const west = anchor === "start" ? x : anchor === "end" ? x - width : x - width / 2;
  return { west, east: west + width, north: y - size * 0.8, south: y + size * 0.25 };
}

const around = ([x, y]: XY, by: number): Box => ({ west: x - by, east: x + by, north: y - by, south: y + by });
const overlap = (a: Box, b: Box): boolean => a.west < b.east && b.west < a.east && a.north < b.south && b.north < a.south;
const same = (a: Box, b: Box | null): boolean =>
  b !== null && a.west === b.west && a.north === b.north && a.east === b.east;
