/** The sketches of all sheets: asked for once for each state of the record, kept for when the server is gone. */
import { get } from "./api";
import { markOf } from "./field";
import type { Sketch } from "./form";
import { tongue } from "./language.svelte";
import { seen } from "./state.svelte";
import { shelf } from "./store";
import { reading } from "./units.svelte";

type All = Record<string, Sketch[]>;
interface Held {
  /** The state that they are of. */
  of: string;
  all: All;
}

class Sketches {
  all = $state.raw<All>({});
  #of = "";

  /** Those of a sheet; none until they have come. */
  of(sheet: string): Sketch[] {
    return this.all[sheet] ?? [];
  }

  /** Ask for those of the state that is shown, unless they are here. */
  async follow(): Promise<void> {
    const state = seen.state;
    if (state === null) return;
    const of = `${markOf(state)} ${reading.units} ${tongue.language}`;
    if (of === this.#of) return;
    this.#of = of;
    const name = `sketches ${state.tract.id}`;
    let found: All;
    try {
      found = await get("/api/sketches");
    } catch {
      this.#of = "";
      const text = await shelf().then((db) => db.get("own", name), () => undefined);
      const held = text === undefined ? null : (JSON.parse(text) as Partial<Held>);
      if (held?.of === markOf(state) && held.all !== undefined) this.all = held.all;
      return;
    }
    if (this.#of === of) this.all = found;
    const held: Held = { of: markOf(state), all: found };
    await shelf().then((db) => db.put("own", JSON.stringify(held), name)).catch(() => undefined);
  }
}

export const sketches = new Sketches();
