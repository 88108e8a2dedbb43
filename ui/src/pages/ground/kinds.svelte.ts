/** The kinds of place, as the server says them: what each is called, and how it may be drawn. */
import type { PlaceKind } from "../../lib/form";
import { forms } from "../../lib/forms";
import type { Geometry } from "./outline";

class Kinds {
  all = $state.raw<Record<string, PlaceKind>>({});
  #levels = $state.raw<Record<string, string>>({});

  /** Ask for them, once; without an answer, and nothing kept, nothing new can be drawn. */
  async load(): Promise<void> {
    if (this.names.length > 0) return;
    const found = await forms().catch(() => null);
    this.all = found?.places ?? {};
    this.#levels = Object.fromEntries((found?.levels ?? []).map((one) => [one.value, one.name]));
  }

  /** Who sees what is marked so, in words. */
  level(value: string): string {
    return this.#levels[value] ?? "";
  }

  get names(): string[] {
    return Object.keys(this.all);
  }

  name(kind: string): string {
    return this.all[kind]?.name ?? kind;
  }

  /** How a kind may be drawn, the usual way first. */
  outlines(kind: string): Geometry[] {
    return (this.all[kind]?.outlines ?? []) as Geometry[];
  }
}

export const kinds = new Kinds();
