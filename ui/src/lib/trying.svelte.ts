/** A change that is tried before it is written down: asked for, and nothing is kept. */
import { NoAnswer, tryEntries } from "./api";
import { makeEntry, type Draft } from "./entry";
import type { Planned } from "./form";
import { outbox } from "./outbox.svelte";
import { seen } from "./state.svelte";
import { say } from "./words";

const PAUSE_MS = 250;

/** What would be planned; only the last of several quick changes is asked for. */
export class Trying {
  after = $state.raw<Planned | null>(null);
  trouble = $state("");
  #turn = 0;

  /** Ask what a draft would move, shortly; the one before stays shown until the answer. */
  ask(draft: Draft): void {
    const mine = ++this.#turn;
    this.trouble = "";
    setTimeout(() => void this.#askFor(draft, mine), PAUSE_MS);
  }

  stop(): void {
    this.#turn++;
    this.after = null;
    this.trouble = "";
  }

  async #askFor(draft: Draft, mine: number): Promise<void> {
    if (mine !== this.#turn || seen.state === null) return;
    const entry = makeEntry({ ...draft, parents: parentsOf(draft.subject) }, "trial");
    const waiting = outbox.of(seen.tract).map((w) => w.entry);
    try {
      const found = await tryEntries([...waiting, entry], seen.state.as_of);
      if (mine === this.#turn) this.after = found;
    } catch (error) {
      if (mine === this.#turn) this.trouble = error instanceof NoAnswer ? say("try-silent") : (error as Error).message;
    }
  }
}

function parentsOf(subject: string | undefined): string[] {
  if (subject === undefined) return [];
  const head = outbox.headOf(subject) ?? seen.entryOf(subject);
  return head === undefined ? [] : [head];
}
