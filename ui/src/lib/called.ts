/** What a thing of the record is called: its own name, else its place or blend, and its day. */
import { shortDay } from "./days";
import { tongue } from "./language.svelte";
import { sayOr } from "./words";
import type { Kept, Place } from "./form";

interface Known {
  place(id: string): Place | undefined;
  things(kind: string): Kept[];
}

const DAYS = ["sampled_on", "sow_on", "opens", "closes", "on", "from", "from_on", "began", "first_on"];

export function called(known: Known, kind: string, body: Record<string, unknown>): string {
  const place = known.place(String(body["place"] ?? body["camera"] ?? ""))?.name;
  const blend = known.things("blend").find((b) => b.id === body["blend"])?.body["name"];
  const thing = ["equipment", "label", "material"]
    .map((k) => known.things(k).find((t) => t.id === body[k])?.body["name"])
    .find((name) => typeof name === "string");
  const person = known.things("person").find((p) => p.id === body["person"])?.body["name"];
  const own = body["name"] ?? person ?? body["person"] ?? body["species"] ?? body["what"] ?? body["sex"];
  const days = kind === "card" ? ["read_on"] : DAYS;
  const day = days.map((d) => body[d]).find((d) => typeof d === "string");
  const parts = [own, place, blend, thing].filter((p) => typeof p === "string" && p !== "");
  if (parts.length === 0) parts.push(kindName(kind));
  return [...parts, ...(typeof day === "string" && /^\d{4}-/.test(day) ? [shortDay(day.slice(0, 10))] : [])].join(", ");
}

/** A kind at the head of a form: in its own letters, or in the words of another language. */
export const kindHead = (kind: string): string => tongue.words[`kind-${kind}`] ?? kind;

/** A kind of entry or of place as it is called. */
export function kindName(kind: string): string {
  const id = `kind-${kind}`;
  const said = sayOr(id);
  return said === id ? kind.replaceAll("-", " ") : said;
}
