/**
 * Where these pages stand. A server of one tract has them at its root; a server of many has each
 * tract's under `/t/NAME-ID`, and before them, at the root, the list of tracts.
 */
const found = /^\/t\/[^/]*?([0-9a-z]+)(?=\/|$)/.exec(location.pathname);

/** What stands before every address of this tract; empty where it is the only one. */
export const BASE: string = found?.[0] ?? "";

/** What tells this tract apart from the others of its server: it stays when the tract is renamed. */
export const APART: string = found?.[1] ?? "";

/** An address of this tract, as its pages and its part of the API are written down here. */
export const rooted = (path: string): string => BASE + path;

/** The same, without what stands before it. */
export const within = (path: string): string =>
  BASE !== "" && (path === BASE || path.startsWith(`${BASE}/`)) ? path.slice(BASE.length) || "/" : path;

/** The name of something that this device keeps, apart for each tract of a server. */
export const own = (name: string): string => (APART === "" ? name : `${name} ${APART}`);
