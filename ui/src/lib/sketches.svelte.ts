/** The sketches of all sheets: asked for once for each state of the record, kept for when the server is gone. */
import { get } from "./api";
import type { Sketch } from "./form";
import { seen } from "./state.svelte";
import { shelf } from "./store";
import { reading } from "./units.svelte";

type All = Record<string, Sketch[]>;

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
    const of = [state.tract.id, state.log.digest, state.as_of, reading.units].join(" ");
    if (of === this.#of) return;
    this.#of = of;
    const name = `sketches ${state.tract.id}`;
    try {
      const found: All = await get("/api/sketches");
      if (this.#of === of) this.all = found;
      await (await shelf()).put("own", JSON.stringify(found), name);
    } catch {
      this.#of = "";
      const text = await shelf().then((held) => held.get("own", name), () => undefined);
      if (text !== undefined && Object.keys(this.all).length === 0) this.all = JSON.parse(text) as All;
    }
  }
}

export const sketches = new Sketches();
