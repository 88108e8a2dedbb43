/** A sentence's parts, with the signs that touch a figure bound to it: a bracket is never left alone. */
import type { Piece } from "./form";

export interface Bound {
  before: string;
  text: string;
  path?: string | undefined;
  after: string;
}

export function bound(parts: Piece[]): Bound[] {
  const texts = parts.map((p) => p.text);
  const found: Bound[] = parts.map((p) => ({ before: "", text: "", path: p.path, after: "" }));
  parts.forEach((part, i) => {
    if (part.path === undefined) return;
    const before = texts[i - 1] ?? "";
    const after = texts[i + 1] ?? "";
    const one = found[i] as Bound;
    if (parts[i - 1]?.path === undefined) {
      one.before = /\S*$/.exec(before)?.[0] ?? "";
      texts[i - 1] = before.slice(0, before.length - one.before.length);
    }
    if (parts[i + 1]?.path === undefined) {
      one.after = /^\S*/.exec(after)?.[0] ?? "";
      texts[i + 1] = after.slice(one.after.length);
    }
  });
  return found.map((one, i) => ({ ...one, text: texts[i] ?? "" }));
}
