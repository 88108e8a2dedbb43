import { beforeEach, expect, test, vi } from "vitest";
import type { Entry, Receipt } from "./form";
import { Outbox } from "./outbox.svelte";
import { json } from "./samples";
import { shelf } from "./store";

const note = (text: string) => ({ kind: "note", body: { text } });
const nothing: Receipt = { stored: [], known: [], clashed: [], refused: [] };
type Answer = (entries: Entry[]) => Response | Promise<Response>;

let sent: Entry[][] = [];

/** A server that answers each request by the next of these, and by the last from then on. */
function serve(...answers: Answer[]): void {
  sent = [];
  vi.stubGlobal("fetch", async (_: string, init: RequestInit) => {
    const { entries } = JSON.parse(String(init.body)) as { entries: Entry[] };
    sent.push(entries);
    const answer = answers.length > 1 ? answers.shift() : answers[0];
    if (answer === undefined) throw new TypeError("no server");
    return answer(entries);
  });
}

const takeAll: Answer = (entries) => json({ ...nothing, stored: entries.map((e) => e.id) });
const gone: Answer = () => {
  throw new TypeError("failed to fetch");
};

async function open(tract = "t1"): Promise<Outbox> {
  const box = new Outbox();
  box.tract = tract;
  return box;
}

beforeEach(async () => {
  const db = await shelf();
  await db.clear("waiting");
  await db.clear("aside");
});

test("what is written waits until the server names it", async () => {
  serve(gone, takeAll);
  const box = await open();
  await box.write([note("a")], "a", "t1");
  await box.flush();
  expect(box.waiting.length + sent.length).toBeGreaterThan(0);
  await box.flush();
  expect(box.waiting).toEqual([]);
  expect(await (await shelf()).count("waiting")).toBe(0);
});

test("an answer lost on its way back: the same ids go again, and 'known' forgets them", async () => {
  const held = new Set<string>();
  serve(
    (entries) => {
      for (const e of entries) held.add(e.id);
      throw new TypeError("the answer was lost");
    },
    (entries) => json({ ...nothing, known: entries.map((e) => e.id).filter((id) => held.has(id)) }),
  );
  const box = await open();
  await box.write([note("a")], "a", "t1");
  await box.flush();
  await box.flush();
  expect(held.size).toBe(1);
  expect(new Set(sent.flat().map((e) => e.id)).size).toBe(1);
  expect(box.waiting).toEqual([]);
});

test("only what was named is forgotten", async () => {
  serve((entries) => json({ ...nothing, stored: entries.slice(0, 1).map((e) => e.id) }));
  const box = await open();
  const entries = await box.write([note("a"), note("b")], "", "t1");
  await vi.waitFor(() => expect(box.waiting.length).toBe(1));
  expect([entries[0]?.id, entries[1]?.id]).toContain(box.waiting[0]?.id);
});

test("a server that names nothing is not asked in a ring", async () => {
  serve(() => json(nothing));
  const box = await open();
  box.onTaken = vi.fn();
  await box.write([note("a")], "", "t1");
  await box.flush();
  await box.flush();
  expect(box.waiting.length).toBe(1);
  expect(box.onTaken).not.toHaveBeenCalled();
});

test("what is refused is kept aside with its reason, and is in the file", async () => {
  serve((entries) => json({ ...nothing, refused: entries.map((e) => ({ id: e.id, text: "no such kind" })) }));
  const box = await open();
  const [entry] = await box.write([note("keep me")], "", "t1");
  await vi.waitFor(() => expect(box.aside.length).toBe(1));
  expect(box.waiting).toEqual([]);
  expect(box.aside[0]?.text).toBe("no such kind");
  expect(JSON.parse(box.asText()).entries).toEqual([entry]);
  await box.drop(entry!.id);
  expect(box.aside).toEqual([]);
});

test("one that spoils the whole is found, and the others go", async () => {
  serve((entries) => {
    const bad = entries.some((e) => e.body["text"] === "bad");
    return bad ? json({ text: "the request is not in its form" }, 400) : takeAll(entries);
  });
  const box = await open();
  await box.write([note("a"), note("bad"), note("b")], "", "t1");
  await vi.waitFor(() => expect(box.waiting).toEqual([]));
  expect(box.aside.map((a) => a.entry.body["text"])).toEqual(["bad"]);
});

test.each([403, 500, 502])("after %i everything still waits", async (status) => {
  serve(() => json({ text: "no" }, status));
  const box = await open();
  await box.write([note("a")], "", "t1");
  await box.flush();
  expect(box.waiting.length).toBe(1);
  expect(box.aside).toEqual([]);
});

test("a page of something else that answers is no answer", async () => {
  serve(() => new Response("<h1>sign in to the network</h1>", { headers: { "content-type": "text/html" } }));
  const box = await open();
  box.onSilence = vi.fn();
  await box.write([note("a")], "", "t1");
  await box.flush();
  expect(box.waiting.length).toBe(1);
  expect(box.onSilence).toHaveBeenCalled();
});

test("notes of one tract never go to another", async () => {
  serve(takeAll);
  const box = await open("t2");
  await box.write([note("a")], "", "t1");
  await box.flush();
  expect(sent).toEqual([]);
  expect(box.of("t1").length).toBe(1);
});

test("nothing is sent before the server has said which tract it holds", async () => {
  serve(takeAll);
  const box = await open("");
  await box.write([note("a")], "", "t1");
  await box.flush();
  expect(sent).toEqual([]);
});

test("many notes go in the order of writing, some at a time", async () => {
  serve(takeAll);
  const box = await open("");
  for (let i = 0; i < 25; i++) {
    await box.write(Array.from({ length: 10 }, (_, j) => note(`${i * 10 + j}`)), "", "t1");
  }
  box.tract = "t1";
  await box.flush();
  expect(sent.map((s) => s.length)).toEqual([100, 100, 50]);
  expect(sent.flat().map((e) => e.body["text"])).toEqual(Array.from({ length: 250 }, (_, i) => `${i}`));
});

test("a hundred random histories with answers lost: nothing is lost, nothing is doubled", async () => {
  let seed = 7;
  const chance = (): number => ((seed = (seed * 1103515245 + 12345) % 2 ** 31) / 2 ** 31);
  const record = new Map<string, number>();
  serve((entries) => {
    if (chance() < 0.3) throw new TypeError("lost on its way");
    const known = entries.filter((e) => record.has(e.id)).map((e) => e.id);
    for (const e of entries) record.set(e.id, (record.get(e.id) ?? 0) + (record.has(e.id) ? 0 : 1));
    if (chance() < 0.4) throw new TypeError("the answer was lost");
    return json({ ...nothing, known, stored: entries.map((e) => e.id).filter((id) => !known.includes(id)) });
  });
  const box = await open();
  const written: string[] = [];
  for (let i = 0; i < 100; i++) {
    written.push(...(await box.write([note(`${i}`)], "", "t1")).map((e) => e.id));
    if (chance() < 0.5) await box.flush();
  }
  for (let i = 0; i < 60 && box.waiting.length > 0; i++) await box.flush();
  expect(box.waiting).toEqual([]);
  expect([...record.keys()].sort()).toEqual([...written].sort());
  expect([...record.values()].every((n) => n === 1)).toBe(true);
});

test("what waits is there when the page is opened again", async () => {
  serve(gone);
  const box = await open();
  await box.write([note("a")], "", "t1");
  await box.flush();
  const again = await open();
  serve(takeAll);
  await again.start();
  await vi.waitFor(() => expect(sent.length).toBe(1));
  await vi.waitFor(() => expect(again.waiting).toEqual([]));
});

test("a device that is not let in keeps its notes, and has it said rather than a silence", async () => {
  serve(() => json({ text: "not let in" }, 423));
  const box = await open();
  box.onSilence = vi.fn();
  box.onOther = vi.fn();
  await box.write([note("a")], "", "t1");
  await box.flush();
  expect([box.waiting.length, box.aside]).toEqual([1, []]);
  expect(box.onOther).toHaveBeenCalled();
  expect(box.onSilence).not.toHaveBeenCalled();
});
