/** What is made on the machine can't be had while it does not answer: that is said, instead of a download that fails. */
import { within } from "./base";
import { shell } from "./shell.svelte";
import { seen } from "./state.svelte";

export function sayWhenAway(node: HTMLElement): () => void {
  const stay = (event: MouseEvent): void => {
    const link = (event.target as Element).closest("a");
    if (link === null || seen.standing !== "silent" || !within(link.pathname).startsWith("/api/export/")) return;
    event.preventDefault();
    shell.asked = true;
  };
  node.addEventListener("click", stay);
  return () => node.removeEventListener("click", stay);
}
