/** What the shell knows of itself: whether it can open offline, whether a newer one is here. */
import { rooted } from "./base";
import { say } from "./words";

class Shell {
  /** Why the pages won't open offline; empty where they will. */
  notice = $state("");
  /** Whether somebody asked what is where. */
  asked = $state(false);
  #next = $state.raw<ServiceWorker | null>(null);

  /** Whether newer pages wait to be used. */
  get hasNew(): boolean {
    return this.#next !== null;
  }

  /** Register the service worker, and look for a newer one now and then. */
  async start(): Promise<void> {
    if (!("serviceWorker" in navigator)) {
      this.notice = say("status-unsafe");
      return;
    }
    const workers = navigator.serviceWorker;
    const hadOne = workers.controller !== null;
    workers.addEventListener("controllerchange", () => {
      if (hadOne) location.reload();
    });
    const kept = await workers.register(rooted("/sw.js"));
    this.#watch(kept);
    kept.addEventListener("updatefound", () => this.#watch(kept));
  }

  /** Let the newer pages take over; every open page then loads anew. */
  useNew(): void {
    this.#next?.postMessage("use-new");
  }

  #watch(kept: ServiceWorkerRegistration): void {
    const look = (): void => {
      this.#next = kept.active === null ? null : kept.waiting;
    };
    look();
    kept.installing?.addEventListener("statechange", look);
  }
}

export const shell = new Shell();
