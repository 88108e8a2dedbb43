import { mount } from "svelte";
import "./styles/tokens.css";
import "./styles/base.css";
import App from "./App.svelte";
import { BASE } from "./lib/base";
import { startLanguage } from "./lib/language.svelte";
import { startTheme } from "./lib/theme.svelte";
import { startUnits } from "./lib/units.svelte";

startTheme();
startUnits();
await startLanguage();
const target = document.getElementById("app");
if (target === null) throw new Error("the shell has no place for the pages");
if (BASE === "" && location.pathname === "/tracts") {
  const { default: Tracts } = await import("./pages/tracts/index.svelte");
  mount(Tracts, { target });
} else mount(App, { target });
