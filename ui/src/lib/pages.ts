/** The pages, in their order. A page is a folder under `pages/` with an `index.svelte`. */
import type { Component } from "svelte";

export const PAGES = [
  "year",
  "ground",
  "forage",
  "order",
  "work",
  "sits",
  "closed",
  "tally",
  "start",
] as const;
export type PageName = (typeof PAGES)[number];

/** What stands in the bar of a phone; the others open from `More`. */
export const FIRST: readonly PageName[] = ["year", "ground", "work", "sits"];

type Loaded = { default: Component };
const found = import.meta.glob<Loaded>(["../pages/*/index.svelte", "../pages/*/*/index.svelte", "!../pages/year/*"]);

/** The way to a page: the year is home. */
export const pathOf = (page: PageName): string => (page === "year" ? "/" : `/${page}`);

/** A page's code, fetched when it is first opened; undefined where there is no such page. A page of
 * its own may lie under another, as `/tally/count`: a folder in that of the other. */
export function load(page: string, under = ""): Promise<Loaded> | undefined {
  const below = under === "" ? undefined : found[`../pages/${page}/${under}/index.svelte`];
  return (below ?? found[`../pages/${page}/index.svelte`])?.();
}
