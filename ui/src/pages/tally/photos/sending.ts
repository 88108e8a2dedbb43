/** A card sent photo by photo; what the server has already is not sent again. */
import { follow, post, postFile } from "../../../lib/api";
import type { Job } from "../../../lib/form";
import { MOST_BYTES } from "../../../lib/photos";
import { say } from "../../../lib/words";

export interface Said {
  camera: string;
  clock: string[];
  saving: string;
  baited: boolean | null;
}

export interface Going {
  job: Job | null;
  stopped: boolean;
}

type Row = [string, number, number];

/** A file's name on its card, its size, and when it was last changed. */
export const rowOf = (file: File): Row => [
  (file.webkitRelativePath || file.name).split("/").slice(file.webkitRelativePath ? 1 : 0).join("/"),
  file.size,
  file.lastModified,
];

const told = (done: number, of: number): Job => ({ id: "", state: "running", done, of, text: say("photos-sending", { done, of }), result: null });

/** Send what is not sent yet, then have it read; what came of it, in sentences. */
export async function sendCard(files: File[], said: Said, going: Going): Promise<string[]> {
  const small = files.filter((f) => f.size <= MOST_BYTES);
  const large = files.filter((f) => f.size > MOST_BYTES).map((f) => say("photos-large", { name: f.name }));
  const rows = small.map(rowOf);
  const { unsent } = await post("/api/cards/unsent", { card: said.camera, files: rows });
  for (const [done, number] of unsent.entries()) {
    if (going.stopped) return [say("photos-sent-stopped")];
    going.job = told(done, unsent.length);
    const [name, size, changed] = rows[number]!;
    await postFile("/api/cards/photo", small[number]!, { card: said.camera, name, size, changed });
  }
  const job = await post("/api/cards/read", { card: said.camera, files: rows, note: "", ...said });
  const ended = await follow(job, (now) => (going.job = now));
  return [...(ended.state === "stopped" ? [ended.text] : (ended.result as string[])), ...large];
}
