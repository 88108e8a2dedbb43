import { beforeEach, expect, test, vi } from "vitest";
import { forgetField, keepRelief, keepWorking, keptRelief, keptWorking, MOST_WORKINGS } from "./field";
import type { Why } from "./form";
import { askRelief, MOST_BYTES } from "./relief";
import { json, state } from "./samples";

const said = (digest: string) => ({ bounds: [0, 0, 1, 1], image: `/api/relief.png?d=${digest}`, contours: { features: [] } });
const gone = (): Response => {
  throw new TypeError("failed to fetch");
};
const png = (bytes: number): Response => new Response(new Uint8Array(bytes), { headers: { "content-type": "image/png" } });

function serve(relief: () => Response, picture: () => Response): string[] {
  const asked: string[] = [];
  vi.stubGlobal("fetch", async (path: string) => {
    asked.push(path);
    return path.startsWith("/api/relief.json") ? relief() : picture();
  });
  return asked;
}

beforeEach(async () => {
  await keepRelief(null);
  let made = 0;
  vi.spyOn(URL, "createObjectURL").mockImplementation(() => `blob:${++made}`);
});

test("relief that was seen is there with its picture when nobody answers", async () => {
  serve(() => json(said("a")), () => png(9));
  await askRelief("t1");
  serve(gone, gone);
  expect((await askRelief("t1"))?.image).toMatch(/^blob:/);
  expect(await askRelief("t2")).toBeNull();
});

test("a picture is fetched anew only when the heights have changed", async () => {
  const asked = serve(() => json(said("b")), () => png(9));
  await askRelief("t1");
  await askRelief("t1");
  expect(asked.filter((path) => path.startsWith("/api/relief.png"))).toEqual(["/api/relief.png?d=b"]);
  serve(() => json(said("c")), () => png(9));
  await askRelief("t1");
  expect((await keptRelief("t1"))?.said.image).toBe("/api/relief.png?d=c");
});

test("a picture that is too large is not kept, its contours are", async () => {
  serve(() => json(said("d")), () => png(MOST_BYTES + 1));
  await askRelief("t1");
  expect((await keptRelief("t1"))?.picture).toBeNull();
  serve(gone, gone);
  expect((await askRelief("t1"))?.contours).toEqual({ features: [] });
});

test("where the tract has no heights any more, none are kept", async () => {
  serve(() => json(said("e")), () => png(9));
  await askRelief("t1");
  serve(() => json({ text: "no elevation" }, 404), gone);
  expect(await askRelief("t1")).toBeNull();
  expect(await keptRelief("t1")).toBeNull();
});

test("a working opens again for the record it was of, and for no other", async () => {
  const why = { title: "lime" } as unknown as Why;
  await keepWorking("order.p.lime", state(), why);
  expect(await keptWorking("order.p.lime", state())).toEqual(why);
  expect(await keptWorking("order.p.lime", state({ as_of: "2030-01-01" }))).toBeNull();
  expect(await keptWorking("order.p.seed", state())).toBeNull();
});

test("all of it can be forgotten", async () => {
  serve(() => json(said("f")), () => png(9));
  await askRelief("t1");
  await keepWorking("order.p.lime", state(), {} as unknown as Why);
  await forgetField();
  expect([await keptRelief("t1"), await keptWorking("order.p.lime", state())]).toEqual([null, null]);
});

test("only so many workings are kept, the newest", async () => {
  const why = {} as unknown as Why;
  vi.spyOn(Date, "now").mockImplementation(() => ++clock);
  let clock = 0;
  for (let i = 0; i <= MOST_WORKINGS; i++) await keepWorking(`f${i}`, state(), why);
  expect(await keptWorking("f0", state())).toBeNull();
  expect(await keptWorking(`f${MOST_WORKINGS}`, state())).toEqual(why);
});
