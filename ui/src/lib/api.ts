/** The server, asked. `NoAnswer` is the only sign that it is gone; the browser's own is not one. */
import { inUnits } from "./units.svelte";
import type { Entry, Planned, Receipt, State, Why } from "./form";

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

export async function ask<T>(path: string, init: RequestInit = {}): Promise<T> {
  let answer: Response;
  try {
    answer = await fetch(`/api/${inUnits(path)}`, { signal: AbortSignal.timeout(PATIENCE_MS), ...init });
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

function post<T>(path: string, body: unknown): Promise<T> {
  const headers = { "content-type": "application/json" };
  return ask<T>(path, { method: "POST", headers, body: JSON.stringify(body) });
}

export const askState = (): Promise<State> => ask<State>("state");
export const askWhy = (path: string): Promise<Why> =>
  ask<Why>(`why?path=${encodeURIComponent(path)}`);
export const sendEntries = (entries: Entry[]): Promise<Receipt> => post("entries", { entries });
export const tryEntries = (entries: Entry[], asOf: string): Promise<Planned> =>
  post("try", { entries, as_of: asOf });

/** Hand a file to the server, which reads it whole or not at all; what it says of it. */
export async function importFile(file: File, rules: Record<string, string> = {}): Promise<string[]> {
  const query = new URLSearchParams({ name: file.name, ...rules });
  const found = await ask<{ said: string[] }>(`import?${query}`, {
    method: "POST",
    headers: { "content-type": "application/octet-stream" },
    body: file,
    signal: AbortSignal.timeout(180_000),
  });
  return found.said;
}
