/** The geometry of a sketch: packed runs to paths, free words to where they cover no others. */
import type { XY } from "./earth";
import type { SketchLayer } from "./form";
import { placeNames, type Box, type Placed } from "./labels";

/** Signs whose names a narrow picture has no room for. */
const LESSER = ["mock scrape", "camera", "gate"];
const round = (n: number): number => Math.round(n * 10) / 10;

/** The points of one run: its first, then steps. */
function pointsOf(run: string): XY[] {
  let [x, y] = [0, 0];
  const steps = run.split(" ").map(Number);
  return Array.from({ length: Math.floor(steps.length / 2) }, (_, i) => [(x += steps[2 * i]!), (y += steps[2 * i + 1]!)]);
}

/** Packed runs as an SVG path, so many pixels to a unit. */
export function pathOf(runs: string, scale: number, area: boolean): string {
  if (runs === "") return "";
  return runs
    .split(";")
    .map((run) => "M" + pointsOf(run).map(([x, y]) => `${round(x * scale)} ${round(y * scale)}`).join("L") + (area ? "Z" : ""))
    .join("");
}

/** Names and free words of some layers where they fit, in pixels; the rims are kept free. */
export function wordsOf(layers: SketchLayer[], scale: number, size: number, width: number, high: number): Placed[] {
  const narrow = width < 480;
  const spots = layers.flatMap((l) => l.spots).map((s) => (narrow && LESSER.includes(s.kind) ? { ...s, name: "" } : s));
  const far = Infinity;
  const signs = spots.map((s) => ({ west: s.x * scale - 9, east: s.x * scale + 9, north: s.y * scale - 9, south: s.y * scale + 9 }));
  const free = layers.flatMap((l) => l.words).filter((w) => w.free);
  const names = [
    ...spots.filter((s) => s.name).map((s) => ({ id: `${s.kind} ${s.name}`, text: s.name, spot: [s.x * scale, s.y * scale] as XY, beside: true })),
    ...free.map((w) => ({ id: w.text, text: w.text, spot: [w.x * scale, w.y * scale] as XY, beside: false })),
  ];
  const rims: Box[] = [
    { west: -far, east: 3, north: -far, south: far },
    { west: width - 3, east: far, north: -far, south: far },
    { west: -far, east: far, north: -far, south: 3 },
    { west: -far, east: far, north: high - 3, south: far },
  ];
  const near = new Map(names.map((n) => [n.id, n.spot[1]]));
  // a name that only found room far from its ground would name other ground
  return placeNames(names, size, [...rims, ...signs.filter((_, i) => !spots[i]!.name)]).filter(
    (placed) => Math.abs(placed.y - size * 0.35 - near.get(placed.id)!) <= size * 1.8,
  );
}
