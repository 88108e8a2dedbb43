/** What a person says of a visit, key by key. Nothing is reckoned here but what was pressed. */
import { shortDay } from "../../../lib/days";
import type { Kept } from "../../../lib/form";
import { say } from "../../../lib/words";

export const COUNTS = ["does", "bucks", "fawns", "unknown"] as const;
export type Count = (typeof COUNTS)[number];
const KEYS: Record<string, Count> = { d: "does", b: "bucks", f: "fawns", u: "unknown" };
const MOST = 500;

export interface Tags {
  counts: Record<Count, number | null>;
  animals: string[];
  other: string;
}

type Body = Record<string, unknown>;

export const tagsOf = (body: Body): Tags => ({
  counts: Object.fromEntries(COUNTS.map((c) => [c, typeof body[c] === "number" ? body[c] : null])) as Tags["counts"],
  animals: Array.isArray(body["animals"]) ? (body["animals"] as string[]) : [],
  other: String(body["other"] ?? ""),
});

/** Whether anything is said. */
export const says = (tags: Tags): boolean =>
  COUNTS.some((c) => tags.counts[c] !== null) || tags.animals.length > 0 || tags.other.trim() !== "";

export const isTagged = (body: Body): boolean => says(tagsOf(body));

/** Nobody was there: looked at, and no deer. */
export const nothing = (): Tags => ({ counts: { does: 0, bucks: 0, fawns: 0, unknown: 0 }, animals: [], other: "" });

/** One more, or one less, of a kind. */
export function counted(tags: Tags, which: Count, more: number): Tags {
  const now = Math.min(MOST, Math.max(0, (tags.counts[which] ?? 0) + more));
  return { ...tags, counts: { ...tags.counts, [which]: now } };
}

/** What a key does to the counts; undefined where it is no key of theirs. */
export function pressed(tags: Tags, key: string, shift: boolean): Tags | undefined {
  const which = KEYS[key.toLowerCase()];
  return which && counted(tags, which, shift ? -1 : 1);
}

/** The visit's body with its tags; what was not counted beside what was is none. */
export function withTags(body: Body, tags: Tags): Body {
  const counts = Object.fromEntries(COUNTS.map((c) => [c, tags.counts[c] ?? 0]));
  const { animals: _a, other: _o, ...rest } = body;
  const animals = tags.animals.length > 0 ? { animals: tags.animals } : {};
  const other = tags.other.trim() ? { other: tags.other.trim() } : {};
  return { ...rest, ...counts, ...animals, ...other };
}

export interface Stop {
  id: string;
  entry: string;
  on: string | null;
  body: Body;
}

/** The visits in order of time, each as it will stand once what waits is sent. */
export function inOrder(visits: Kept[], waits: (id: string) => Body | undefined, camera = ""): Stop[] {
  return visits
    .filter((v) => camera === "" || v.body["camera"] === camera)
    .map((v) => ({ id: v.id, entry: v.entry, on: v.on, body: waits(v.id) ?? v.body }))
    .sort((a, b) => String(a.body["began"]).localeCompare(String(b.body["began"])) || a.id.localeCompare(b.id));
}

/** The next that nobody has tagged, after one; round to the first of them. */
export function nextUntagged(stops: Stop[], after: string): Stop | undefined {
  const at = stops.findIndex((s) => s.id === after);
  const turned = [...stops.slice(at + 1), ...stops.slice(0, Math.max(at, 0))];
  return turned.find((s) => !isTagged(s.body));
}

/** When a visit was, on the tract's clock: 'Nov 2, 2026, 07:31 to 07:44'. */
export function whenOf(body: Body, zone: string): string {
  const began = new Date(String(body["began"]));
  const ended = new Date(String(body["ended"]));
  const clock = new Intl.DateTimeFormat("en-US", { timeZone: zone, hour: "2-digit", minute: "2-digit", hourCycle: "h23" });
  const day = new Intl.DateTimeFormat("en-CA", { timeZone: zone });
  const [from, to] = [clock.format(began), clock.format(ended)];
  return `${shortDay(day.format(began), true)}, ${from === to ? from : say("span", { from, to })}`;
}
