/**
 * The outbox: what is written down waits on this device until the server has named its id.
 *
 * Whatever the server says, nothing is forgotten that it did not name; what it refuses is kept
 * aside with its reason, and can be saved to a file.
 */
import { NoAnswer, Refused, sendEntries } from "./api";
import { makeEntry, newId, type Draft } from "./entry";
import type { Entry, Receipt } from "./form";
import { sendPhotoOf } from "./photos";
import { deviceName, shelf, type Aside, type Waiting } from "./store";

const AT_ONCE = 100;
const EVERY_MS = 15_000;
const OTHER_TRACT = 409;

class Outbox {
  waiting = $state.raw<Waiting[]>([]);
  aside = $state.raw<Aside[]>([]);
  /** Whether this device keeps anything; a browser may refuse to. */
  keeps = $state(true);
  /** The last thing written on this page, for taking it back. */
  last = $state.raw<{ ids: string[]; text: string } | null>(null);
  /** The tract that the server holds, once it has said so; only its entries are sent. */
  tract = "";
  /** Called when the server has taken something. */
  onTaken: () => void = () => {};
  /** Called when the server did not answer. */
  onSilence: () => void = () => {};
  /** Called when the server has another tract open now, or none, or does not let this device in. */
  onOther: () => void = () => {};
  #running: Promise<void> | undefined;
  #again = false;
  #turn = 0;

  /** Read what waits, and go on sending: on load, online, in view, and every 15 s. */
  async start(): Promise<void> {
    await this.#read().catch(() => {
      this.keeps = false;
    });
    void navigator.storage?.persist?.().catch(() => false);
    const flush = (): void => void this.flush();
    addEventListener("online", flush);
    document.addEventListener("visibilitychange", flush);
    setInterval(() => {
      if (this.waiting.length > 0) flush();
    }, EVERY_MS);
    flush();
  }

  /** Write drafts down, all in one batch; they are kept here before this returns. */
  async write(drafts: Draft[], text: string, tract: string): Promise<Entry[]> {
    const device = await deviceName(newId);
    const batch = newId();
    const entries = drafts.map((draft) => makeEntry(draft, device, batch));
    const db = await shelf();
    const change = db.transaction("waiting", "readwrite");
    for (const entry of entries) {
      void change.store.put({ id: entry.id, at: this.#nextTurn(), tract, entry });
    }
    await change.done;
    this.last = { ids: entries.map((e) => e.id), text };
    await this.#read();
    void this.flush();
    return entries;
  }

  /** What waits for this tract. */
  of(tract: string): Waiting[] {
    return this.waiting.filter((w) => w.tract === tract);
  }

  /** The entry that a change of this subject should replace, if one waits here. */
  headOf(subject: string): string | undefined {
    return this.waiting.findLast((w) => w.entry.subject === subject)?.id;
  }

  /** Send what waits; one run at a time, and once more if something came in meanwhile. */
  flush(): Promise<void> {
    this.#again = this.#running !== undefined;
    this.#running ??= this.#send().finally(() => {
      this.#running = undefined;
      if (this.#again) void this.flush();
    });
    return this.#running;
  }

  async #send(): Promise<void> {
    if (this.tract === "") return;
    await this.#read();
    const rows = this.of(this.tract);
    for (let from = 0; from < rows.length; from += AT_ONCE) {
      const part = rows.slice(from, from + AT_ONCE);
      if (!(await this.#sendPart(part))) return;
    }
    const left = new Set(this.waiting.map((w) => w.id));
    if (rows.some((w) => !left.has(w.id))) this.onTaken();
  }

  async #sendPart(part: Waiting[]): Promise<boolean> {
    try {
      for (const row of part) await sendPhotoOf(row.entry);
      await this.#file(part, await sendEntries(part.map((w) => w.entry), this.tract));
    } catch (error) {
      if (error instanceof Refused && error.status === OTHER_TRACT) {
        this.onOther();
        return false;
      }
      if (error instanceof Refused && mayBeTheirs(error)) return this.#alone(part, error);
      if (!(error instanceof NoAnswer || error instanceof Refused)) throw error;
      if (error instanceof Refused) this.onOther();
      else this.onSilence();
      return false;
    }
    return true;
  }

  /** One of these made the whole refused: each goes by itself, and what is wrong is put aside. */
  async #alone(part: Waiting[], error: Refused): Promise<boolean> {
    const [only] = part;
    if (part.length === 1 && only !== undefined) {
      const refused = [{ id: only.id, text: error.message }];
      await this.#file(part, { stored: [], known: [], clashed: [], refused });
      return true;
    }
    for (const row of part) if (!(await this.#sendPart([row]))) return false;
    return true;
  }

  /** Forget what the server named, and only that; put aside what it refused. */
  async #file(sent: Waiting[], receipt: Receipt): Promise<void> {
    const named = new Set([...receipt.stored, ...receipt.known, ...receipt.clashed]);
    const reasons = new Map(receipt.refused.map((r) => [r.id, r.text]));
    const db = await shelf();
    const change = db.transaction(["waiting", "aside"], "readwrite");
    for (const row of sent) {
      const reason = reasons.get(row.id);
      if (reason !== undefined) void change.objectStore("aside").put({ ...row, text: reason });
      if (reason !== undefined || named.has(row.id)) {
        void change.objectStore("waiting").delete(row.id);
      }
    }
    await change.done;
    await this.#read();
  }

  /** What was refused is dropped here, by the person's own word. */
  async drop(id: string): Promise<void> {
    await (await shelf()).delete("aside", id);
    await this.#read();
  }

  /** All that is only on this device, as a file's text. */
  asText(): string {
    const entries = [...this.waiting, ...this.aside].map((w) => w.entry);
    return JSON.stringify({ entries }, null, 1);
  }

  /** The order of writing, also within one tick of the clock, and when it is set back. */
  #nextTurn(): number {
    this.#turn = Math.max(Date.now(), this.#turn + 1, (this.waiting.at(-1)?.at ?? 0) + 1);
    return this.#turn;
  }

  async #read(): Promise<void> {
    const db = await shelf();
    const byTime = (a: Waiting, b: Waiting): number => a.at - b.at;
    this.waiting = (await db.getAll("waiting")).sort(byTime);
    this.aside = (await db.getAll("aside")).sort(byTime);
  }
}

/** Whether the entries themselves are at fault, rather than who asks, or how often. */
function mayBeTheirs(error: Refused): boolean {
  return [400, 413, 422].includes(error.status);
}

export const outbox = new Outbox();
export { Outbox };
