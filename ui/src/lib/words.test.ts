import { expect, test } from "vitest";
import { PAGES } from "./pages";
import { count, say, sayOr, WORDS } from "./words";

const sources = import.meta.glob<string>(["../**/*.svelte", "../**/*.ts", "!../**/*.test.ts"], {
  query: "?raw",
  import: "default",
  eager: true,
});
const code = Object.entries(sources)
  .filter(([path]) => !path.endsWith("/words.ts"))
  .map(([, text]) => text)
  .join("\n");
const composed = [...code.matchAll(/`([a-z-]+-)\$\{/g)].map((found) => found[1] ?? "");

test("values are put in, and nothing is left open", () => {
  expect(say("shell-as-of", { day: "Jan 12" })).toBe("as of Jan 12");
  expect(say("try-moves", { what: "a {b}", from: "1", to: "2" })).toBe("a {b}: 1 becomes 2");
});

test("one and many", () => {
  expect(count("status-waits-1", "status-waits", 1)).toBe("1 note waits");
  expect(count("status-waits-1", "status-waits", 3)).toBe("3 notes wait");
});

test("an unknown id says itself", () => {
  expect(sayOr("page-year")).toBe("Year");
  expect(sayOr("no-such")).toBe("no-such");
});

test("every page has its word", () => {
  for (const page of PAGES) expect(sayOr(`page-${page}`)).not.toBe(`page-${page}`);
});

test("every word is used somewhere", () => {
  const unused = Object.keys(WORDS).filter(
    (id) => !code.includes(`"${id}"`) && !code.includes(`'${id}'`) && !composed.some((c) => id.startsWith(c)),
  );
  expect(unused).toEqual([]);
});

test("the trade's words: a stand alone is ambiguous", () => {
  for (const text of Object.values(WORDS)) expect(text).not.toMatch(/\bstands?\b(?! for)/i);
});
