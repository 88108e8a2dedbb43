/**
 * The server, asked. Paths, questions and answers are held to the schema of the API.
 * `NoAnswer` is the only sign that it is gone; the browser's own is not one.
 */
import { rooted } from "./base";
import type { paths } from "../../generated/api";
import type { Changes, Entry, Job, State } from "./form";
import { inUnits } from "./units.svelte";

/** The server did not answer, or something in between answered for it. */
export class NoAnswer extends Error {}

/** The server answered that it will not; the message is its sentence. */
export class Refused extends Error {
  constructor(
    message: string,
    readonly status: number,
  ) {
    super(message);
  }
}

const PATIENCE_MS = 20_000;
const FILE_PATIENCE_MS = 180_000;

type With<Verb extends "get" | "post"> = {
  [P in keyof paths]: paths[P] extends Record<Verb, { responses: unknown }> ? P : never;
}[keyof paths];
type Operation<P extends keyof paths, Verb extends "get" | "post"> = NonNullable<paths[P][Verb]>;
type Answer<O> = O extends { responses: { 200: { content: { "application/json": infer T } } } } ? T : never;
type Query<O> = O extends { parameters: { query?: infer Q } } ? NonNullable<Q> : never;
type Sent<O> = O extends { requestBody: { content: { "application/json": infer B } } } ? B : undefined;

type Values = Record<string, string | number | boolean | null | undefined | readonly string[]>;

/** Ask for something. */
export function get<P extends With<"get">>(
  path: P,
  query: Query<Operation<P, "get">> | Values = {},
): Promise<Answer<Operation<P, "get">>> {
  return ask(path, query as Values);
}

/** Send something as JSON. */
export function post<P extends With<"post">>(
  path: P,
  body: Sent<Operation<P, "post">>,
  query: Values = {},
): Promise<Answer<Operation<P, "post">>> {
  const headers = { "content-type": "application/json" };
  return ask(path, query, { method: "POST", headers, body: JSON.stringify(body ?? null) });
}

/** Send a file's bytes. */
export function postFile<P extends With<"post">>(
  path: P,
  body: Blob,
  query: Query<Operation<P, "post">> | Values = {},
): Promise<Answer<Operation<P, "post">>> {
  return ask(path, query as Values, {
    method: "POST",
    headers: { "content-type": "application/octet-stream" },
    body,
    signal: AbortSignal.timeout(FILE_PATIENCE_MS),
  });
}

/** A picture's bytes. */
export async function getPicture(path: string): Promise<Blob> {
  const answer = await fetch(rooted(path), { signal: AbortSignal.timeout(FILE_PATIENCE_MS) }).catch((error: unknown) => {
    throw new NoAnswer(String(error));
  });
  if (!answer.ok || !(answer.headers.get("content-type") ?? "").startsWith("image/")) throw new NoAnswer(`${answer.status}`);
  return answer.blob();
}

async function ask<T>(path: string, query: Values, init: RequestInit = {}): Promise<T> {
  let answer: Response;
  try {
    answer = await fetch(inUnits(rooted(addressOf(path, query))), { signal: AbortSignal.timeout(PATIENCE_MS), ...init });
  } catch (error) {
    throw new NoAnswer(String(error));
  }
  const isJson = answer.headers.get("content-type")?.startsWith("application/json") ?? false;
  if (answer.status >= 500 || !isJson) throw new NoAnswer(`${answer.status}`);
  const found: unknown = await answer.json().catch((e: unknown) => {
    throw new NoAnswer(String(e));
  });
  if (!answer.ok) throw new Refused((found as { text?: string }).text ?? "", answer.status);
  return found as T;
}

/** An address with its questions; what stands in braces in the path is filled from them. */
export function addressOf(path: string, query: Values): string {
  const asked = new URLSearchParams();
  let filled = path;
  for (const [name, value] of Object.entries(query)) {
    if (value === undefined || value === null) continue;
    if (filled.includes(`{${name}}`)) filled = filled.replace(`{${name}}`, encodeURIComponent(String(value)));
    else for (const one of Array.isArray(value) ? value : [value]) asked.append(name, String(one));
  }
  return asked.size > 0 ? `${filled}?${asked}` : filled;
}

/** The state; where it is said what is held already, perhaps only what is another since. */
export const askState = (have: string): Promise<State | Changes> => get("/api/state", { have });
export const askNextYear = (asOf: string) => get("/api/next-year", { as_of: asOf });
export const askWhy = (path: string) => get("/api/why", { path });
export const sendEntries = (entries: Entry[], tract: string) => post("/api/entries", { entries, tract });
export const tryEntries = (entries: Entry[], asOf: string) => post("/api/try", { entries, as_of: asOf });

const EVERY_MS = 400;

/** Follow long work until it has ended; `onstep` hears how far it is. */
export async function follow(job: Job, onstep: (job: Job) => void): Promise<Job> {
  let now = job;
  while (now.state === "running") {
    onstep(now);
    await new Promise((wake) => setTimeout(wake, EVERY_MS));
    now = await get("/api/jobs/{id_}", { id_: job.id });
  }
  onstep(now);
  if (now.state === "refused") throw new Refused(now.text, 400);
  return now;
}

/** Stop long work; it says by itself when it has stopped. */
export const stopJob = (id: string) => ask<Job>("/api/jobs/{id_}/stop", { id_: id }, { method: "POST" });

/** Hand a file to the server, which reads it whole or not at all; what it says of it. */
export async function importFile(
  file: File,
  rules: Values = {},
  onstep: (job: Job) => void = () => {},
): Promise<string[]> {
  const job = await postFile("/api/import", file, { name: file.name, ...rules });
  const ended = await follow(job, onstep);
  return ended.state === "stopped" ? [ended.text] : (ended.result as string[]);
}
