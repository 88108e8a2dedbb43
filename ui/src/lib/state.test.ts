import { beforeEach, expect, test, vi } from "vitest";
import { todayHere } from "./days";
import { outbox } from "./outbox.svelte";
import { json, state } from "./samples";
import { Seen } from "./state.svelte";
import { shelf } from "./store";

const answers = (...all: (() => Response)[]): void => {
  vi.stubGlobal("fetch", async () => {
    const next = all.length > 1 ? all.shift() : all[0];
    if (next === undefined) throw new TypeError("no server");
    return next();
  });
};
const gone = (): Response => {
  throw new TypeError("failed to fetch");
};

beforeEach(async () => {
  const db = await shelf();
  await db.clear("seen");
  await db.clear("waiting");
  outbox.tract = "";
  outbox.waiting = [];
});

test("it starts at checking, never at all sent", () => {
  expect(new Seen().standing).toBe("checking");
});

test("what the server said is shown, and kept for when it is gone", async () => {
  const seen = new Seen();
  answers(() => json(state({ as_of: "2027-03-04" })));
  await seen.refresh();
  expect([seen.standing, seen.state?.as_of, outbox.tract]).toEqual(["fresh", "2027-03-04", "t1"]);
  const later = new Seen();
  answers(gone);
  await later.start();
  expect([later.standing, later.state?.as_of]).toEqual(["silent", "2027-03-04"]);
  expect(later.at).toBeInstanceOf(Date);
});

test("with nothing ever seen and nobody there, it says so", async () => {
  const seen = new Seen();
  answers(gone);
  await seen.refresh();
  expect([seen.standing, seen.state]).toEqual(["silent", null]);
});

test("a refusal is no silence: its words are shown", async () => {
  const seen = new Seen();
  answers(() => json({ text: "the folder is no tract" }, 400));
  await seen.refresh();
  expect([seen.standing, seen.trouble]).toEqual(["refused", "the folder is no tract"]);
});

test("a slow first answer does not overwrite a later one", async () => {
  const seen = new Seen();
  let slow: (r: Response) => void = () => {};
  let calls = 0;
  vi.stubGlobal("fetch", () =>
    ++calls === 1 ? new Promise((found) => (slow = found)) : Promise.resolve(json(state({ as_of: "2027-02-02" }))),
  );
  const first = seen.refresh();
  await seen.refresh();
  slow(json(state({ as_of: "2027-01-01" })));
  await first;
  expect(seen.state?.as_of).toBe("2027-02-02");
});

test("a change names what it replaces: the thing's entry, or the one that waits", async () => {
  const seen = new Seen();
  const planting = { id: "p1", entry: "e1", on: null, body: { sow_on: "2027-08-01" } };
  answers(() => json(state({ things: { planting: [planting] } })), gone);
  await seen.refresh();
  outbox.tract = "";
  const change = (sow_on: string) => ({ kind: "planting", subject: "p1", body: { sow_on } });
  const [first] = await seen.write([change("2027-08-05")], "");
  expect(first?.parents).toEqual(["e1"]);
  expect(seen.bodyOf("p1")).toEqual({ sow_on: "2027-08-05" });
  const [second] = await seen.write([change("2027-08-09")], "");
  expect(second?.parents).toEqual([first?.id]);
});

test("a changed place stays as visible as it was", async () => {
  const seen = new Seen();
  const place = { id: "t1", kind: "treestand", name: "Basswood", shape: null, entry: "e1", visibility: "owner", body: {} };
  answers(() => json(state({ places: [place] })), gone);
  await seen.refresh();
  outbox.tract = "";
  const [changed] = await seen.write([{ kind: "place", subject: "t1", body: { name: "Basswood" } }], "");
  expect(changed?.visibility).toBe("owner");
  const [note] = await seen.write([{ kind: "note", body: { text: "a" } }], "");
  expect(note?.visibility).toBe("all");
});

test("taking back names what was written last", async () => {
  const seen = new Seen();
  answers(() => json(state()), gone);
  await seen.refresh();
  outbox.tract = "";
  const [note] = await seen.write([{ kind: "note", body: { text: "a" } }], "a");
  await seen.undo("back");
  const undo = outbox.waiting.at(-1)?.entry;
  expect([undo?.kind, undo?.body]).toEqual(["undo", { entries: [note?.id] }]);
});

test("the day is the device's, unless the server was started for another", async () => {
  const seen = new Seen();
  expect(seen.day).toBe(todayHere());
  answers(() => json(state({ as_of: "2027-01-12", today: "2026-11-25" })));
  await seen.refresh();
  expect(seen.day).toBe("2027-01-12");
});

test("read in other units, what is shown is as last seen, and says so, until the server answers", async () => {
  const seen = new Seen();
  answers(() => json(state()));
  await seen.refresh();
  answers(gone);
  seen.read("metric");
  expect([seen.standing, seen.otherUnits]).toEqual(["checking", true]);
  await vi.waitFor(() => expect(seen.standing).toBe("silent"));
  expect(seen.otherUnits).toBe(true);
  const asked = vi.fn(async () => json(state({ units: "metric" })));
  vi.stubGlobal("fetch", asked);
  await seen.refresh();
  expect([seen.standing, seen.otherUnits]).toEqual(["fresh", false]);
  expect(asked.mock.calls.map((c: unknown[]) => c[0])).toEqual(["/api/state?have=&units=metric"]);
  seen.read("us");
});

test("what has changed is laid onto what is held; what does not fit is asked for whole", async () => {
  const seen = new Seen();
  const kept = (id: string, text: string) => ({ id, entry: `e-${text}`, on: null, body: { text } });
  const sheet = (id: string) => ({ id, title: id, under: "", under_parts: [], tables: [], said: [], drawings: [] });
  const first = state({
    tag: "a", sheets: [sheet("one"), sheet("two")], things: { note: [kept("n1", "x"), kept("n3", "y")], done: [kept("d1", "z")] },
  });
  const changes = {
    of: "a", tag: "b", now: { as_of: "2027-05-05", plan: { count: 2, fresh: false } }, places: [],
    things: { note: [kept("n2", "new"), kept("n3", "other")] }, sheets: [sheet("three")], order: ["three", "one"], gone: ["n1"],
  };
  const asked = vi.fn();
  asked.mockResolvedValueOnce(json(first)).mockResolvedValueOnce(json(changes));
  asked.mockResolvedValueOnce(json({ ...changes, of: "other" })).mockResolvedValue(json(state({ tag: "whole" })));
  vi.stubGlobal("fetch", asked);
  await seen.refresh();
  const done = seen.things("done");
  await seen.refresh();
  expect(asked.mock.calls[1]?.[0]).toBe("/api/state?have=a");
  expect(seen.things("note").map((n) => n.body.text)).toEqual(["new", "other"]);
  expect(seen.things("done")).toBe(done);
  expect(seen.state?.sheets.map((s) => s.id)).toEqual(["three", "one"]);
  expect([seen.state?.as_of, seen.behind]).toEqual(["2027-05-05", 2]);
  await seen.refresh();
  expect([seen.state?.tag, seen.behind, asked.mock.calls.at(-1)?.[0]]).toEqual(["whole", null, "/api/state?have="]);
});

test("a device that is not let in says so, and asks again", async () => {
  const seen = new Seen();
  answers(() => json({ text: "not let in" }, 423), () => json(state()));
  await seen.refresh();
  expect([seen.standing, seen.shut]).toEqual(["refused", true]);
  await seen.refresh();
  expect([seen.standing, seen.shut]).toEqual(["fresh", false]);
});
