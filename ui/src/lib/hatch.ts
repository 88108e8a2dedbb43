/**
 * Hatch by kind: what a place is shows by its pattern first, and by colour second, so that the same
 * map reads in sunlight, in print, in grey and by red light. A pattern is a tile with its strokes.
 */

export interface Hatch {
  /** Side of the square tile. */
  size: number;
  /** Lines of the tile, as an SVG path. */
  path: string;
  stroke: number;
  /** The token of its ink. */
  ink: string;
  /** Small squares in place of lines, as a filled path. */
  dots?: string;
}

const lines = (size: number, path: string, ink = "ink-2", stroke = 1): Hatch => ({
  size,
  path,
  stroke,
  ink,
});

export const HATCHES: Record<string, Hatch> = {
  sown: lines(8, "M-2 2L2-2M0 8L8 0M6 10L10 6"),
  kept: lines(7, "M0 3.5H7M3.5 0V7"),
  closed: lines(11, "M-3 3L3-3M0 11L11 0M8 14L14 8", "mark", 4),
  season: { size: 8, path: "", stroke: 0, ink: "ink", dots: "M1 1h2v2h-2zM5 5h2v2h-2z" },
  short: lines(6, "M0 0L6 6M-1 5L1 7M5-1L7 1", "stop", 1.4),
  found: lines(8, "M-2 2L2-2M0 8L8 0M6 10L10 6", "fit"),
  plot: lines(8, "M-2 2L2-2M0 8L8 0M6 10L10 6"),
  "native-grass field": lines(10, "M2 9L3 3M4 9L5 2M8 5L9 0"),
  cover: lines(12, "M2 8L5 3L8 8"),
  timber: lines(14, "M3 10L6 4L9 10M6 10V13"),
  water: lines(12, "M0 4q3-3 6 0t6 0M0 10q3-3 6 0t6 0", "water"),
  "share-1": lines(8, "M0 4.5H8", "fit", 1),
  "share-2": lines(4, "M0 1.5H4", "fit", 1),
  "share-3": lines(4, "M0 2H4", "fit", 2),
  reached: { size: 5, path: "", stroke: 0, ink: "mark", dots: "M0 0h2v2h-2zM2.5 2.5h2v2h-2z" },
  spread: { size: 9, path: "", stroke: 0, ink: "mark", dots: "M1 1h1.7v1.7h-1.7zM5.5 5.5h1.7v1.7h-1.7z" },
  ruled: lines(9, "M0 0L9 9M9 0L0 9", "stop", 1.1),
  "right-of-way": { size: 11, path: "", stroke: 0, ink: "ink-2", dots: "M1 1h1.3v1.3h-1.3zM3.5 3.5h1.3v1.3h-1.3zM6 6h1.3v1.3h-1.3zM8.5 8.5h1.3v1.3h-1.3z" },
  "soil zone": { size: 10, path: "", stroke: 0, ink: "contour", dots: "M4 4h2v2h-2z" },
};

/** How areas of drawings are filled, in each ink; coarse enough for sunlight and for a printer. */
const LOOKS: Record<string, Pick<Hatch, "size" | "path" | "stroke" | "dots">> = {
  hatched: { size: 7, path: "M-2 2L2-2M0 7L7 0M5 9L9 5", stroke: 1.1 },
  crossed: { size: 7, path: "M0 0L7 7M7 0L0 7", stroke: 1.5 },
  stippled: { size: 6, path: "", stroke: 0, dots: "M0 0h2v2h-2zM3 3h2v2h-2z" },
};
const INKS: Record<string, string> = { plain: "ink-2", water: "water", fit: "fit", stop: "stop", mark: "mark" };

/** Every pattern of a document: those of kinds, and each look of a drawing in each ink. */
export const PATTERNS: Record<string, Hatch> = {
  ...HATCHES,
  ...Object.fromEntries(
    Object.entries(LOOKS).flatMap(([look, tile]) =>
      Object.entries(INKS).map(([ink, token]) => [`${look} ${ink}`, { ...tile, ink: token }]),
    ),
  ),
};

/** What fills an area of a drawing. */
export function fillOf({ look, ink }: { look: string; ink: string }): string {
  if (look === "empty") return "none";
  return look === "full" ? `var(--${INKS[ink] ?? "ink"})` : `url(#${hatchId(`${look} ${ink}`)})`;
}

/** A pattern's id in a document. */
export const hatchId = (kind: string): string => `hatch-${kind.replaceAll(/\W/g, "-")}`;

/** Whether a kind has a pattern of its own. */
export const hasHatch = (kind: string): boolean => kind in HATCHES;
