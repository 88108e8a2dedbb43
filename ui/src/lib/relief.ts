/**
 * The ground's relief: asked for once for each time a page wants it, and kept on this device for where
 * there is no signal. A map without it still works.
 */
import { get, getPicture, Refused } from "./api";
import { keepRelief, keptRelief, type KeptRelief } from "./field";
import type { Relief as Said } from "./form";

export interface Relief extends Omit<Said, "bounds" | "contours"> {
  bounds: [number, number, number, number];
  contours: {
    features: {
      properties: { feet: number; index: boolean };
      geometry: { type: string; coordinates: unknown };
    }[];
  };
}

/** The largest picture that is kept; the contours of a larger one still are. */
export const MOST_BYTES = 12 * 1024 * 1024;
const NOT_THERE = 404;

let asking: { tract: string; answer: Promise<Relief | null> } | undefined;

/** The relief as the server says it, else as this device keeps it; null where there is none. */
export function askRelief(tract: string): Promise<Relief | null> {
  if (asking?.tract === tract) return asking.answer;
  const mine = { tract, answer: ask(tract).finally(() => (asking = asking === mine ? undefined : asking)) };
  asking = mine;
  return mine.answer;
}

async function ask(tract: string): Promise<Relief | null> {
  let said: Said;
  try {
    said = await get("/api/relief.json");
  } catch (error) {
    if (!(error instanceof Refused && error.status === NOT_THERE)) return shown(await keptRelief(tract));
    await keepRelief(null).catch(() => undefined);
    return null;
  }
  const before = await keptRelief(tract);
  // the address of the picture carries the digest of the heights
  if (before?.said.image === said.image) return shown(before);
  const picture = await getPicture(said.image).catch(() => null);
  if (picture === null) return said as Relief;
  const kept = { tract, said, picture: picture.size <= MOST_BYTES ? picture : null };
  await keepRelief(kept).catch(() => undefined);
  return shown(kept);
}

let last: { image: string; url: string } | undefined;

/** The picture from this device where it is kept, else from its address. */
function shown(kept: KeptRelief | null): Relief | null {
  if (kept === null) return null;
  const said = kept.said as Relief;
  if (kept.picture === null) return said;
  if (last?.image !== said.image) {
    if (last !== undefined) URL.revokeObjectURL(last.url);
    last = { image: said.image, url: URL.createObjectURL(kept.picture) };
  }
  return { ...said, image: last.url };
}
