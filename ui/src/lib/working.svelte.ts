/** Which figure's working is open; `Working.svelte` in the shell shows it. */
class OpenWorking {
  path = $state<string | null>(null);
  /** What the figure is of, where its own name says too little. */
  title = $state("");

  open(path: string, title = ""): void {
    this.title = title;
    this.path = path;
  }

  close(): void {
    this.path = null;
  }
}

export const working = new OpenWorking();
