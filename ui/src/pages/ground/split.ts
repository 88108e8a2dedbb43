/** A place that is split: the server says the parts, the record gets them all in one. */
import { post } from "../../lib/api";
import type { Draft } from "../../lib/entry";
import type { Part, Place, Shape } from "../../lib/form";

/** The parts of an area along a line, the largest first. */
export async function askSplit(shape: Shape, line: Shape): Promise<Part[]> {
  return (await post("/api/split", { shape, line })).parts;
}

/** What is written: the largest part as the place that it was, each other part as a new one of its kind. */
export function draftsOf(place: Place, parts: Part[], names: string[]): Draft[] {
  const { kind, visibility, body } = place;
  return parts.map(({ shape }, i) =>
    i === 0
      ? { kind: "place", subject: place.id, visibility, body: { ...body, shape } }
      : { kind: "place", visibility, body: { kind, name: names[i - 1], shape } },
  );
}
