/** The pages, in their order. A page is a folder under `pages/` with an `index.svelte`. */
import { rooted } from "./base";
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

/** What is opened from the start, or from one's own name, and stands in no row of pages. */
export const ASIDE: readonly string[] = ["people", "twice"];

/** What stands in the bar of a phone; the others open from `More`. */
export const FIRST: readonly PageName[] = ["year", "ground", "work", "sits"];

type Loaded = { default: Component };
const found = import.meta.glob<Loaded>(["../pages/*/index.svelte", "../pages/*/*/index.svelte", "!../pages/year/*"]);

/** The way to a page: the year is home. */
export const pathOf = (page: PageName): string => rooted(page === "year" ? "/" : `/${page}`);

/** The folder of a page; a part of it that has a folder of its own, as `tally/photos`, is a page
 * within it. */
export const folderOf = (page: string, part = ""): string =>
  `../pages/${page}/${part}/index.svelte` in found ? `${page}/${part}` : page;

/** A page's code, fetched when it is first opened; undefined where there is no such page. */
export function load(folder: string): Promise<Loaded> | undefined {
  return found[`../pages/${folder}/index.svelte`]?.();
}
