import { expect, test, vi } from "vitest";

const sources = import.meta.glob<string>(["../**/*.svelte", "../**/*.ts", "!../**/*.test.ts"], {
  query: "?raw",
  import: "default",
  eager: true,
});

async function at(path: string) {
  vi.resetModules();
  history.replaceState(null, "", path);
  return import("./base");
}

test("a tract that stands alone has its pages at the root", async () => {
  const { BASE, own, rooted, within } = await at("/ground/abc");
  expect([BASE, rooted("/work"), within("/work"), own("fencerow")]).toEqual(["", "/work", "/work", "fencerow"]);
});

test("a tract among others has them under its own address, and keeps its own things", async () => {
  const { APART, BASE, own, rooted, within } = await at("/t/plover-bench-3k9f0a2b/ground");
  expect([BASE, APART]).toEqual(["/t/plover-bench-3k9f0a2b", "3k9f0a2b"]);
  expect(rooted("/api/state")).toBe("/t/plover-bench-3k9f0a2b/api/state");
  expect(within("/t/plover-bench-3k9f0a2b/work")).toBe("/work");
  expect(within("/t/plover-bench-3k9f0a2b")).toBe("/");
  expect(within("/t/plover-bench-3k9f0a2bb/work")).toBe("/t/plover-bench-3k9f0a2bb/work");
  expect(own("fencerow")).toBe("fencerow 3k9f0a2b");
  // another name, the same tract
  expect((await at("/t/the-bench-3k9f0a2b/")).own("fencerow")).toBe(own("fencerow"));
});

test("no page writes an address of its tract down without what stands before it", () => {
  const server = ["/tracts", "/api/door", "/"];
  for (const [path, text] of Object.entries(sources)) {
    const links = [...text.matchAll(/(?:href|src)=(?:"|\{["`])(\/[^"`$]*)/g)].map((found) => found[1] ?? "");
    const bare = links.filter((link) => !server.includes(link) || (link === "/" && !path.includes("/tracts/")));
    expect(bare, path).toEqual([]);
  }
});
