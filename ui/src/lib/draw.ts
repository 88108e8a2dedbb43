/** The geometry of a drawing: places and amounts to pixels, layers to paths, cells to runs. */
import type { Along, Layer } from "./form";

/** What a drawing is laid on: so many places over so many pixels, amounts from `foot` up. */
export interface Sheet {
  places: number;
  px: number;
  /** Where an amount of 0 lies, and one of `top`. */
  foot: number;
  head: number;
  top: number;
}

const round = (n: number): number => Math.round(n * 10) / 10;

/** The middle of a place; places may lie between two. */
export const xOf = (sheet: Pick<Sheet, "places" | "px">, at: number): number => ((at + 0.5) / sheet.places) * sheet.px;

export const yOf = (sheet: Sheet, amount: number): number =>
  sheet.foot - (Math.min(amount, sheet.top) / sheet.top) * (sheet.foot - sheet.head);

/** The place under so many pixels; the nearest one outside. */
export const placeAt = (sheet: Pick<Sheet, "places" | "px">, x: number): number =>
  Math.max(0, Math.min(sheet.places - 1, Math.floor((x / sheet.px) * sheet.places)));

/** Where an arrow key leads from a place. */
export function stepped(at: number, key: string, places: number): number | undefined {
  const by = { ArrowLeft: -1, ArrowRight: 1, PageDown: -4, PageUp: 4, Home: -places, End: places }[key];
  return by === undefined ? undefined : Math.max(0, Math.min(places - 1, at + by));
}

/** Runs of places at which a layer is known. */
function known(layer: Layer): number[][] {
  const runs: number[][] = [];
  layer.high.forEach((high, at) => {
    if (high === null || (!layer.line && (layer.low[at] ?? null) === null)) return;
    const run = runs.at(-1);
    if (run?.at(-1) === at - 1) run.push(at);
    else runs.push([at]);
  });
  return runs;
}

/** A layer as a path: a line through its places, a band around them; what is not known is a gap. */
export function pathOf(layer: Layer, sheet: Sheet): string {
  const point = (at: number, amount: number): string => `${round(xOf(sheet, at))} ${round(yOf(sheet, amount))}`;
  return known(layer)
    .map((run) => {
      const along = run.map((at) => point(at, layer.high[at]!));
      if (layer.line) return run.length === 1 ? `M${along[0]}h0.1` : `M${along.join("L")}`;
      const back = run.toReversed().map((at) => point(at, layer.low[at]!));
      return `M${[...along, ...back].join("L")}Z`;
    })
    .join("");
}

/** Cells of one state side by side, as one. */
export interface Run {
  from: number;
  count: number;
  state: number;
}

export function runsOf(cells: number[]): Run[] {
  const runs: Run[] = [];
  cells.forEach((state, from) => {
    const last = runs.at(-1);
    if (last?.state === state) last.count++;
    else runs.push({ from, count: 1, state });
  });
  return runs;
}

/** About how wide a word is drawn. */
export const wide = (word: string): number => word.length * 9.4;

/** The words below an axis, as much of each as there is room for: 'Tue 25', 'Tue', 'T'. */
export function lettered(ticks: Along[], sheet: Pick<Sheet, "places" | "px">): Along[] {
  const gaps = ticks.slice(1).map((t, i) => xOf(sheet, t.at) - xOf(sheet, ticks[i]!.at));
  const room = Math.min(...gaps, sheet.px);
  const fits = (words: string[]): boolean => words.every((w) => wide(w) + 5 <= room);
  const full = ticks.map((t) => t.word);
  const first = full.map((w) => w.split(" ")[0]!);
  const words = [full, first].find(fits) ?? first.map((w) => (/^\d{4}$/.test(w) ? `’${w.slice(2)}` : w.slice(0, 1)));
  return ticks.map((t, i) => ({ at: t.at, word: words[i]! }));
}
