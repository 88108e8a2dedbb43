/** Small pictures of visits, kept on this device for the next ones, so that they can be tagged where
 * the server does not answer. Only a secure address lets a page keep them. */
import { addressOf } from "../../../lib/photos";

const NAME = "shots";
const MOST = 120;

const store = (): Promise<Cache> | undefined => globalThis.caches?.open(NAME);

/** Where a picture is shown from: this device, else the server. */
export async function shotAt(sha256: string): Promise<string> {
  const address = addressOf(sha256);
  try {
    const kept = await (await store())?.match(address);
    return kept ? URL.createObjectURL(await kept.blob()) : address;
  } catch {
    return address;
  }
}

/** Keep the pictures of the next visits; those kept first make room. */
export async function keepAhead(all: string[]): Promise<void> {
  const cache = await store();
  if (cache === undefined) return;
  for (const sha256 of all.slice(0, MOST)) {
    const address = addressOf(sha256);
    if (await cache.match(address)) continue;
    const answer = await fetch(address);
    if (answer.ok) await cache.put(address, answer);
  }
  const kept = await cache.keys();
  for (const old of kept.slice(0, Math.max(0, kept.length - MOST))) await cache.delete(old);
}
