/** The record as this page sees it: what the server says, else what was last seen here. */
import { askState, NoAnswer, Refused } from "./api";
import { todayHere } from "./days";
import { undoOf, type Draft } from "./entry";
import { FORM } from "./form";
import { changed } from "./changed";
import { forget, me } from "./me.svelte";
import type { Entry, Kept, Place, Sheet, State } from "./form";
import { tongue, type Language } from "./language.svelte";
import { outbox } from "./outbox.svelte";
import { shelf } from "./store";
import { reading, type Units } from "./units.svelte";

/**
 * checking: not yet answered; fresh: just said; silent: no answer; refused: it will not say;
 * none: it answers, and no tract is open; out: nobody is signed in.
 */
export type Standing = "checking" | "fresh" | "silent" | "refused" | "none" | "out";

const NO_TRACT = 409;
const NOT_LET_IN = 423;
const NOBODY = 401;
const SOON_MS = 1_000;
const LATER_MS = 20_000;

class Seen {
  state = $state.raw<State | null>(null);
  standing = $state<Standing>("checking");
  /** When what is shown was said. */
  at = $state<Date | null>(null);
  /** Why the server will not say, in its words. */
  trouble = $state("");
  /** Whether this device must be let in first. */
  shut = $state(false);
  #asked = 0;
  #again: ReturnType<typeof setTimeout> | undefined;
  #pause = SOON_MS;
  /** How many questions are not answered yet: a slow answer is waited for, not asked for anew. */
  #waiting = 0;

  /** The id under which this device keeps the tract's notes. */
  get tract(): string {
    return this.state === null ? "" : tractId(this.state);
  }

  /** Whether what is shown is still in other units than those that are read. */
  get otherUnits(): boolean {
    return this.state !== null && (this.state.units ?? "us") !== reading.units;
  }

  /** How many entries the plan has taken in, where there are newer ones. */
  get behind(): number | null {
    const plan = this.state?.plan;
    return plan?.fresh === false ? plan.count : null;
  }

  /** Whether what is shown is still in another language than the pages. */
  get otherLanguage(): boolean {
    return this.state !== null && (this.state.language ?? "en") !== tongue.language;
  }

  /** Speak another language from now on. Until the server answers, what is shown is as last seen. */
  async speak(language: Language): Promise<void> {
    await tongue.set(language);
    this.standing = "checking";
    void this.refresh();
  }

  /** Read in other units from now on. Until the server answers, what is shown is as last seen. */
  read(units: Units): void {
    reading.set(units);
    this.standing = "checking";
    void this.refresh();
  }

  /** Show what was last seen, then ask; then go on asking while nobody answers. */
  async start(): Promise<void> {
    outbox.onTaken = () => void this.refresh();
    outbox.onSilence = () => this.#silent();
    outbox.onOther = () => void this.refresh();
    void me.ask();
    await this.#lastSeen().catch(() => undefined);
    await outbox.start();
    await this.refresh();
    setInterval(() => {
      if (this.standing !== "fresh" && this.#waiting === 0) void this.refresh();
    }, 15_000);
    const again = (): void => void Promise.all([me.ask(), this.refresh()]);
    addEventListener("online", again);
    document.addEventListener("visibilitychange", () => {
      if (!document.hidden) again();
    });
  }

  /** Ask the server for the state; keep what it says as last seen. */
  async refresh(): Promise<void> {
    const turn = ++this.#asked;
    this.#waiting++;
    try {
      const held = this.state;
      const answer = await askState(held?.tag ?? "").finally(() => this.#waiting--);
      if (turn !== this.#asked) return;
      const state = "of" in answer ? changed(held, answer) : answer;
      if (state === null) {
        // it is not what is held here that this changes: all of it is asked for
        this.state = null;
        return await this.refresh();
      }
      this.state = state;
      this.at = new Date();
      this.standing = "fresh";
      this.trouble = "";
      this.shut = false;
      const first = outbox.tract !== tractId(state);
      outbox.tract = tractId(state);
      await this.#keep(state).catch(() => undefined);
      if (first) void outbox.flush();
      this.#lookAgain(state.plan.fresh);
    } catch (error) {
      if (turn !== this.#asked) return;
      if (error instanceof NoAnswer) this.#silent();
      else if (error instanceof Refused && error.status === NO_TRACT) this.#none("none");
      else if (error instanceof Refused && error.status === NOBODY) {
        this.#none("out");
        await forget().catch(() => undefined);
      }
      else {
        this.standing = "refused";
        this.trouble = error instanceof Error ? error.message : String(error);
        this.shut = error instanceof Refused && error.status === NOT_LET_IN;
      }
    }
  }

  /** Write something down about this tract. The parents of a change are found here. */
  write(drafts: Draft[], text: string): Promise<Entry[]> {
    return outbox.write(
      drafts.map((draft) => this.#whole(draft)),
      text,
      this.tract,
    );
  }

  /** Take the last thing written on this page back. */
  async undo(text: string): Promise<void> {
    if (outbox.last === null) return;
    await this.write([undoOf(outbox.last.ids)], text);
  }

  #whole(draft: Draft): Draft {
    if (draft.subject === undefined) return draft;
    const known = this.place(draft.subject) ?? this.thing(draft.subject)?.kept;
    const visibility = draft.visibility ?? known?.visibility ?? "all";
    if (draft.parents !== undefined) return { ...draft, visibility };
    const on = known !== undefined && "on" in known ? known.on : null;
    const happened_on = draft.happened_on === undefined ? on : draft.happened_on;
    const head = outbox.headOf(draft.subject) ?? this.entryOf(draft.subject);
    return { ...draft, visibility, happened_on, parents: head === undefined ? [] : [head] };
  }

  /** The entry that a subject now stands by. */
  entryOf(subject: string): string | undefined {
    return this.place(subject)?.entry ?? this.thing(subject)?.kept.entry;
  }

  /** The day that it is for this tract: the device's, unless the server was started for another. */
  get day(): string {
    const fixed = this.state !== null && this.state.as_of !== this.state.today;
    return fixed && this.state !== null ? this.state.as_of : todayHere();
  }

  /** The subject that now stands by an entry. */
  subjectOf(entry: string): string | undefined {
    const things = Object.values(this.state?.things ?? {}).flat();
    return [...(this.state?.places ?? []), ...things].find((t) => t.entry === entry)?.id;
  }

  place(id: string): Place | undefined {
    return this.state?.places.find((p) => p.id === id);
  }

  thing(id: string): { kind: string; kept: Kept } | undefined {
    for (const [kind, all] of Object.entries(this.state?.things ?? {})) {
      const kept = all.find((k) => k.id === id);
      if (kept !== undefined) return { kind, kept };
    }
    return undefined;
  }

  /** A thing's body as it will stand once what waits has been sent. */
  bodyOf(subject: string): Record<string, unknown> | undefined {
    const head = outbox.headOf(subject);
    const waits = outbox.waiting.find((w) => w.id === head)?.entry.body;
    return waits ?? this.thing(subject)?.kept.body ?? this.place(subject)?.body;
  }

  things(kind: string): Kept[] {
    return this.state?.things[kind] ?? [];
  }

  sheet(id: string): Sheet | undefined {
    return this.state?.sheets.find((s) => s.id === id);
  }

  sheetsUnder(prefix: string): Sheet[] {
    return this.state?.sheets.filter((s) => s.id.startsWith(prefix)) ?? [];
  }

  /** The plan is being worked anew: ask for it again, ever less often. */
  #lookAgain(fresh: boolean): void {
    clearTimeout(this.#again);
    this.#pause = fresh ? SOON_MS : Math.min(2 * this.#pause, LATER_MS);
    if (!fresh) this.#again = setTimeout(() => void this.refresh(), this.#pause / 2);
  }

  #silent(): void {
    this.standing = "silent";
  }

  #none(standing: "none" | "out"): void {
    this.state = null;
    this.standing = standing;
    outbox.tract = "";
  }

  async #lastSeen(): Promise<void> {
    const kept = await (await shelf()).get("seen", "state");
    if (kept === undefined || this.state !== null || kept.state.form !== FORM) return;
    this.state = kept.state;
    this.at = new Date(kept.at);
  }

  async #keep(state: State): Promise<void> {
    await (await shelf()).put("seen", { state, at: Date.now() }, "state");
  }
}

/** Notes of one tract are never sent to another that happens to answer at the same address. */
export const tractId = (state: State): string => state.tract.id;

export const seen = new Seen();
export { Seen };
