/** A file that is handed in on the map: the server takes it whole or not at all, and says which. */
import { importFile, NoAnswer } from "../../lib/api";
import { seen } from "../../lib/state.svelte";
import { say } from "../../lib/words";

export class Taking {
  said = $state.raw<string[]>([]);
  trouble = $state("");
  /** Whether a file hangs over the map. */
  over = $state(false);

  async take(files: Iterable<File>): Promise<void> {
    this.said = [];
    this.trouble = "";
    for (const file of files) {
      this.said = [...this.said, say("start-reading", { name: file.name })];
      try {
        this.said = [...this.said, ...(await importFile(file))];
      } catch (error) {
        this.trouble = error instanceof NoAnswer ? say("status-silent") : (error as Error).message;
        break;
      }
    }
    await seen.refresh();
  }

  /** Take what is dropped on an element. */
  drop = (node: HTMLElement): (() => void) => {
    const over = (event: DragEvent): void => {
      if (!event.dataTransfer?.types.includes("Files")) return;
      event.preventDefault();
      this.over = true;
    };
    const out = (event: DragEvent): void => {
      if (!node.contains(event.relatedTarget as Node | null)) this.over = false;
    };
    const drop = (event: DragEvent): void => {
      if (!event.dataTransfer?.files.length) return;
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
