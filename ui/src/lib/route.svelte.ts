/** Where we are: the first part of the path is the page, what follows is the page's own. */
import { rooted, within } from "./base";

export interface Place {
  page: string;
  rest: string[];
  query: URLSearchParams;
}

export function readPath(path: string, search = ""): Place {
  const [page = "", ...rest] = within(path).split("/").filter(Boolean).map(decodeURIComponent);
  return { page: page || "year", rest, query: new URLSearchParams(search) };
}

class Route {
  here = $state.raw<Place>(readPath(location.pathname, location.search));

  constructor() {
    addEventListener("popstate", () => this.#read());
  }

  /** Go to a path of these pages. */
  go(path: string): void {
    history.pushState(null, "", rooted(within(path)));
    this.#read();
    scrollTo(0, 0);
  }

  #read(): void {
    this.here = readPath(location.pathname, location.search);
  }
}

export const route = new Route();

/** Links to our own pages stay within the page; all others go their way. */
export function followLinks(node: HTMLElement): () => void {
  const follow = (event: MouseEvent): void => {
    const link = (event.target as Element).closest("a");
    const plainClick = event.button === 0 && !event.metaKey && !event.ctrlKey && !event.shiftKey;
    if (link === null || !plainClick || link.target || link.hasAttribute("download")) return;
    if (link.origin !== location.origin || link.pathname === "/tracts") return;
    const path = within(link.pathname);
    if (path.startsWith("/api/") || path.startsWith("/t/")) return;
    if (link.hash !== "" && link.pathname === location.pathname) return;
    event.preventDefault();
    route.go(path + link.search);
  };
  node.addEventListener("click", follow);
  return () => node.removeEventListener("click", follow);
}
