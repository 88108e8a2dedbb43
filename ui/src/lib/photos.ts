/** Photos of notes: kept on this device by their SHA-256 until the server has them. */
import { rooted } from "./base";
import { postFile } from "./api";
import type { Entry } from "./form";
import { shelf } from "./store";

export const MOST_BYTES = 20 * 1024 * 1024;

/** Where a photo that is in the record is shown from. */
export const addressOf = (sha256: string): string => rooted(`/api/photos/${sha256}`);

/** Whether this address lets a page name a photo by its bytes: only a secure one does. */
export const canKeep = (): boolean => globalThis.crypto?.subtle !== undefined;

/** Keep a photo here; the name that its note carries. */
export async function keepPhoto(file: Blob): Promise<string> {
  const digest = await crypto.subtle.digest("SHA-256", await file.arrayBuffer());
  const sha256 = Array.from(new Uint8Array(digest), (byte) => byte.toString(16).padStart(2, "0")).join("");
  await (await shelf()).put("photos", file, sha256);
  return sha256;
}

/** Send the photo that an entry speaks of, if it still waits here; then it is the server's. */
export async function sendPhotoOf(entry: Entry): Promise<void> {
  const sha256 = entry.body["photo"];
  if (typeof sha256 !== "string") return;
  const waiting = await (await shelf()).get("photos", sha256);
  if (waiting === undefined) return;
  await postFile("/api/photos", waiting);
  await (await shelf()).delete("photos", sha256);
}
