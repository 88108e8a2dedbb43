/** Files that are handed in: the server takes each whole or not at all, and says which. */
import { importFile, NoAnswer, stopJob } from "./api";
import type { Job } from "./form";
import { inTurn, rulesOf } from "./handing";
import { me } from "./me.svelte";
import { seen } from "./state.svelte";
import { say } from "./words";

export class Taking {
  said = $state.raw<string[]>([]);
  trouble = $state("");
  /** The file that is being read. */
  job = $state.raw<Job | null>(null);
  /** How files are read that do not say it themselves. */
  reading = $state({ rest: "", vertical: "", holds: "" });
  /** Whether a file hangs over what takes it. */
  over = $state(false);

  async take(files: Iterable<File>): Promise<void> {
    this.said = [];
    this.trouble = "";
    try {
      for (const file of inTurn(files)) {
        const heard = await importFile(file, rulesOf(this.reading), (job) => (this.job = job));
        this.said = [...this.said, ...heard];
      }
    } catch (error) {
      this.trouble = error instanceof NoAnswer ? say("status-silent") : (error as Error).message;
    }
    this.job = null;
    await seen.refresh();
  }

  stop(): void {
    if (this.job !== null) void stopJob(this.job.id);
  }

  /** Take what is dropped on an element. */
  drop = (node: HTMLElement): (() => void) => {
    const over = (event: DragEvent): void => {
      if (!event.dataTransfer?.types.includes("Files") || !me.may("bring")) return;
      event.preventDefault();
      this.over = true;
    };
    const out = (event: DragEvent): void => {
      if (!node.contains(event.relatedTarget as Node | null)) this.over = false;
    };
    const drop = (event: DragEvent): void => {
      if (!event.dataTransfer?.files.length || !me.may("bring")) return;
      event.preventDefault();
      this.over = false;
      void this.take([...event.dataTransfer.files]);
    };
    node.addEventListener("dragover", over);
    node.addEventListener("dragleave", out);
    node.addEventListener("drop", drop);
    return () => {
      node.removeEventListener("dragover", over);
      node.removeEventListener("dragleave", out);
      node.removeEventListener("drop", drop);
    };
  };
}
