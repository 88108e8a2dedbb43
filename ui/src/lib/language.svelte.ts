/** The language of the pages; the choice stays on this device, else it is that of the browser. */
export const LANGUAGES = ["en", "es"] as const;
export type Language = (typeof LANGUAGES)[number];

/** The first language of a list that is known here, else English: as the server reads it. */
export function known(tags: readonly string[]): Language {
  const mains = tags.map((tag) => tag.split("-")[0]!.toLowerCase());
  return mains.map((main) => LANGUAGES.find((one) => one === main)).find((one) => one !== undefined) ?? "en";
}

const ofBrowser = (): Language => known(navigator.languages ?? []);

class Tongue {
  language = $state<Language>("en");
  /** The words of a language other than English; where it lacks one, the English is said. */
  words = $state.raw<Readonly<Record<string, string>>>({});

  /** Speak it from now on. It is fetched with the pages, so it is here with no signal as well. */
  async speak(language: Language): Promise<void> {
    this.words = language === "es" ? (await import("./words.es")).SPANISH : {};
    this.language = language;
    document.documentElement.lang = language;
  }

  async set(language: Language): Promise<void> {
    try {
      localStorage.setItem("language", language);
    } catch {
      // storage may be shut; the choice then lasts as long as the page
    }
    await this.speak(language);
  }
}

export const tongue = new Tongue();

export async function startLanguage(): Promise<void> {
  let kept: string | null = null;
  try {
    kept = localStorage.getItem("language");
  } catch {
    kept = null;
  }
  const wanted = LANGUAGES.find((one) => one === kept) ?? ofBrowser();
  // its file did not come, as in the first moment of a new version: English is better than nothing
  await tongue.speak(wanted).catch(() => undefined);
}

/** A path of the API, asking for its texts in the language of the pages. */
export function inLanguage(path: string): string {
  if (tongue.language === ofBrowser()) return path;
  return `${path}${path.includes("?") ? "&" : "?"}language=${tongue.language}`;
}
