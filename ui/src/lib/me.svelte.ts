/** Who uses this page, and what they may do; as last heard where the server does not answer. */
import { get, post } from "./api";
import { forgetField } from "./field";
import type { Me } from "./form";
import { forgetList, shelf } from "./store";

/** What stays on the device whoever uses it: its name, and a walk that is half counted. */
const STAYS = ["device", "count-walk"];
/** Small pictures of visits. */
const PICTURES = "shots";

interface Shut {
  shut?: readonly string[];
}

class Myself {
  /** Null until the server, or this device, has said. */
  now = $state.raw<Me | null>(null);

  /** Ask who this is; kept, so that a phone without signal offers what it did before. */
  async ask(): Promise<void> {
    try {
      this.now = await get("/api/me");
      await (await shelf()).put("own", JSON.stringify(this.now), "me");
    } catch {
      const kept = await shelf().then((db) => db.get("own", "me"), () => undefined);
      if (kept !== undefined) this.now = JSON.parse(kept) as Me;
    }
  }

  /** Whether something may be done; until it is known it is offered, and the server decides. */
  may(act: string): boolean {
    return this.now?.acts.includes(act) ?? true;
  }

  /** Whether entries of a kind may be written. */
  writes(kind: string): boolean {
    return this.now?.writes.includes(kind) ?? true;
  }

  /** Whether a thing of a kind may be changed, or taken out of the record. */
  changes(kind: string, thing: Shut | undefined): boolean {
    return this.writes(kind) && !(thing?.shut ?? []).includes("change");
  }

  removes(kind: string, thing: Shut | undefined): boolean {
    return this.writes(kind) && !(thing?.shut ?? []).includes("remove");
  }

  /** The roles that could do what this person may not. */
  who(what: string): readonly string[] {
    return this.now?.could?.[what] ?? [];
  }

  async signIn(name: string, password: string, invitation: string): Promise<void> {
    if (invitation === "") await post("/api/sign-in", { name, password });
    else await post("/api/invitation", { name, password, invitation });
    await forget();
  }

  async signOut(everywhere: boolean): Promise<void> {
    await post("/api/sign-out", { everywhere });
    await forget();
  }
}

/** Let go of all that was shown to whoever was here; what waits to be sent, and its photos, stays. */
export async function forget(): Promise<void> {
  const db = await shelf();
  await db.clear("seen");
  for (const key of await db.getAllKeys("own")) {
    if (!STAYS.includes(key)) await db.delete("own", key);
  }
  await forgetField();
  await forgetList();
  await globalThis.caches?.delete(PICTURES);
}

export const me = new Myself();
