/** Who is out and who is late, looked at again every half minute; and one tap for being back. */
import { todayHere } from "./days";
import { lateAt, momentOf, outNow, type Outing } from "./out";
import { outbox } from "./outbox.svelte";
import { seen } from "./state.svelte";
import { say } from "./words";

const LOOK_MS = 30_000;
/** While somebody is out, others' word of being back is asked for this often. */
const ASK_MS = 60_000;

class Outings {
  #tick = $state(0);

  constructor() {
    setInterval(() => this.#tick++, LOOK_MS);
    setInterval(() => {
      if (this.out.length > 0 && seen.standing === "fresh" && !document.hidden) void seen.refresh();
    }, ASK_MS);
  }

  get out(): Outing[] {
    return outNow(seen, outbox.waiting.map((w) => w.entry));
  }

  get late(): Outing[] {
    return this.#tick < 0 ? [] : lateAt(this.out, this.now());
  }

  now(): Date {
    return momentOf(seen.day, todayHere());
  }

  /** Somebody is back: one entry, at this moment. */
  async back(id: string): Promise<void> {
    const out = this.out.find((o) => o.id === id);
    const body = seen.bodyOf(id) ?? outbox.waiting.findLast((w) => w.entry.subject === id)?.entry.body;
    if (out === undefined || body === undefined) return;
    const back_at = new Date(Math.max(this.now().getTime(), out.left.getTime())).toISOString();
    await seen.write([{ kind: "outing", subject: id, body: { ...body, back_at } }], say("out-is-back", { who: out.who }));
  }
}

export const outings = new Outings();
