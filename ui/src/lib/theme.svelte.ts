/** Paper by day, dusk, and red on black by night; the choice stays on this device. */
export const THEMES = ["day", "dusk", "night"] as const;
export type Theme = (typeof THEMES)[number];

const PAPER = { day: "#FBF6E9", dusk: "#12181D", night: "#000000" };

class Look {
  theme = $state<Theme>("day");

  set(theme: Theme): void {
    this.theme = theme;
    document.documentElement.dataset["theme"] = theme;
    document.querySelector('meta[name="theme-color"]')?.setAttribute("content", PAPER[theme]);
    try {
      localStorage.setItem("theme", theme);
    } catch {
      // storage may be shut; the choice then lasts as long as the page
    }
  }
}

export const look = new Look();

export function startTheme(): void {
  let kept: string | null = null;
  try {
    kept = localStorage.getItem("theme");
  } catch {
    kept = null;
  }
  look.set(THEMES.find((t) => t === kept) ?? "day");
}
