import { afterEach, expect, test } from "vitest";
import { shortDay } from "./days";
import { inLanguage, known, tongue } from "./language.svelte";
import { clockOf } from "./out";
import { compass, count, say, sayOr, WORDS } from "./words";
import { SPANISH } from "./words.es";

const blanks = (text: string): string[] => (text.match(/\{\w+\}/g) ?? []).sort();

afterEach(() => tongue.speak("en"));

test("every word of the pages is there in Spanish, with the same blanks", () => {
  const lacking = Object.keys(WORDS).filter((id) => !(id in SPANISH));
  expect(lacking, "write these in words.es.ts").toEqual([]);
  const own = Object.keys(SPANISH).filter((id) => !(id in WORDS) && !id.startsWith("kind-"));
  expect(own, "these are no ids of words.ts").toEqual([]);
  for (const [id, text] of Object.entries(WORDS)) expect(blanks(SPANISH[id]!), id).toEqual(blanks(text));
});

test("no English word is left in a Spanish sentence", () => {
  const english = /(?<![\w-])(the|and|of|with|for|not|is|are|this|that|from|which|when|where|plot|sheet|days?)(?![\w-])/i;
  const left = Object.entries(SPANISH).filter(([, text]) => english.test(text.replaceAll(/\{\w+\}|The National Map/g, "")));
  expect(left).toEqual([]);
});

test("a person is addressed as usted, and nothing is called legal, safe or approved", () => {
  for (const [id, text] of Object.entries(SPANISH)) {
    expect(text, id).not.toMatch(/(?<!\p{L})(tú|tus?|vos|tienes|puedes|debes|haz)(?!\p{L})/iu);
    expect(text, id).not.toMatch(/(?<!\p{L})(legal|segur[oa]s?|aprobad[oa]s?|autorizad[oa]s?)(?!\p{L})/iu);
  }
});

test("it is spoken once it is chosen: words, one and many, days, clocks, west", async () => {
  await tongue.speak("es");
  expect(say("shell-as-of", { day: shortDay("2027-09-04", true) })).toBe("al 4 sep 2027");
  expect(count("status-waits-1", "status-waits", 1)).toBe("1 nota espera");
  expect(count("status-waits-1", "status-waits", 3)).toBe("3 notas esperan");
  expect(sayOr("kind-treestand")).toBe("puesto en árbol");
  expect(compass("WNW")).toBe("ONO");
  expect(clockOf(new Date("2027-09-04T23:15:00Z"), "America/Chicago", "2027-09-03")).toMatch(/^6:15 p\.\s?m\., 4 sep$/);
  expect(document.documentElement.lang).toBe("es");
});

test("the server is asked in the language of the pages, where the browser's is another", async () => {
  expect(known(["es-MX", "en"])).toBe("es");
  expect(known(["fr", "de"])).toBe("en");
  expect(inLanguage("/api/state")).toBe("/api/state");
  await tongue.speak("es");
  expect(inLanguage("/api/state")).toBe("/api/state?language=es");
  expect(inLanguage("/api/why?path=a")).toBe("/api/why?path=a&language=es");
});
