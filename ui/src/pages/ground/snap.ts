/** Snap: a corner that comes near another place's corner is laid on it, else on an edge. */
import type { LonLat } from "../../lib/earth";
import type { Place, Shape } from "../../lib/form";
import type { FlatSheet, XY } from "./sheet";

export const NEAR_PIXELS = 12;

/** What a corner can be laid on: runs of points, on the ground and on the sheet. */
export interface Target {
  ground: LonLat[];
  flat: XY[];
}

/** What the drawn places give to lay corners on; the one that is drawn anew left out. */
export const targetsOf = (places: Place[], but: string | null, at: FlatSheet["at"]): Target[] =>
  places
    .filter((p) => p.shape !== null && p.id !== but)
    .flatMap((p) => runsOf(p.shape!))
    .map((ground) => ({ ground, flat: ground.map(at) }));

function runsOf({ type, coordinates }: Shape): LonLat[][] {
  if (type === "Point") return [[coordinates as LonLat]];
  if (type === "LineString") return [coordinates as LonLat[]];
  return type === "MultiPolygon" ? (coordinates as LonLat[][][]).flat() : (coordinates as LonLat[][]);
}

/** Where a point of the sheet is laid: exactly on a corner, else on an edge; null where nothing is near. */
export function snap(point: XY, targets: Target[], within: number, back: FlatSheet["back"]): LonLat | null {
  let best: { off: number; spot: LonLat } | null = null;
  for (const { ground, flat } of targets) {
    flat.forEach((corner, i) => {
      const off = Math.hypot(corner[0] - point[0], corner[1] - point[1]);
      if (off <= (best?.off ?? within)) best = { off, spot: ground[i]! };
    });
  }
  if (best !== null) return (best as { spot: LonLat }).spot;
  let edge: { off: number; spot: XY } | null = null;
  for (const { flat } of targets) {
    for (let i = 1; i < flat.length; i++) {
      const foot = footOn(point, flat[i - 1]!, flat[i]!);
      const off = Math.hypot(foot[0] - point[0], foot[1] - point[1]);
      if (off <= (edge?.off ?? within)) edge = { off, spot: foot };
    }
  }
  return edge === null ? null : back((edge as { spot: XY }).spot);
}

/** The point of a stretch that lies nearest. */
function footOn([x, y]: XY, [ax, ay]: XY, [bx, by]: XY): XY {
  const long = (bx - ax) ** 2 + (by - ay) ** 2;
  const share = long === 0 ? 0 : Math.min(1, Math.max(0, ((x - ax) * (bx - ax) + (y - ay) * (by - ay)) / long));
  return [ax + share * (bx - ax), ay + share * (by - ay)];
}
