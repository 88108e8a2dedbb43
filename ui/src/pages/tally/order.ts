/** The sheets of the tally, question by question: by the stem that their ids begin with. */
import type { Sheet } from "../../lib/form";

/** Did it work, the sits, the deer, the cameras, the counts, money and hours, our word, next year. */
export const STEMS = [
  "worked", "sat", "herd", "moves", "taken", "bears", "cards", "counts", "money", "word", "next", "years", "tally",
];

const rank = (id: string): number => STEMS.findIndex((stem) => id === stem || id.startsWith(`${stem}.`) || id.startsWith(`${stem}-`));

/** Those that are the tally's, in that order; of one stem as they came. */
export function tallySheets(all: Sheet[]): Sheet[] {
  const found = all.map((sheet, at) => ({ sheet, at, rank: rank(sheet.id) })).filter((s) => s.rank >= 0);
  return found.sort((a, b) => a.rank - b.rank || a.at - b.at).map((s) => s.sheet);
}
