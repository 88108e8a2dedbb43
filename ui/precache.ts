import { createHash } from "node:crypto";
import { readdirSync, readFileSync } from "node:fs";
import type { Plugin } from "vite";
import { installed } from "./install.ts";

/**
 * The service worker: built beside the pages as /sw.js, with the list of files that it keeps.
 * The list's digest names the cache, so that every build keeps its own set.
 */
export function precache(): Plugin {
  return {
    name: "precache",
    apply: "build",
    enforce: "post",
    buildStart() {
      for (const { name, source } of installed()) this.emitFile({ type: "asset", fileName: name, source });
      this.emitFile({ type: "chunk", id: "src/sw.ts", fileName: "sw.js" });
    },
    generateBundle: {
      order: "post",
      handler(_, bundle) {
        const digest = createHash("sha256");
        const kept: string[] = ["/index.html"];
        for (const name of Object.keys(bundle).sort()) {
          const made = bundle[name];
          if (made === undefined || name === "sw.js" || name.endsWith(".map")) continue;
          digest.update(made.type === "chunk" ? made.code : made.source);
          if (name !== "index.html") kept.push(`/${name}`);
        }
        for (const name of readdirSync("public").sort()) {
          digest.update(readFileSync(`public/${name}`));
          kept.push(`/${name}`);
        }
        digest.update(readFileSync("index.html"));
        const worker = bundle["sw.js"];
        if (worker?.type !== "chunk") throw new Error("the service worker was not built");
        worker.code = worker.code
          .replace("__KEPT__", () => JSON.stringify(kept))
          .replace("__VERSION__", () => JSON.stringify(digest.digest("hex").slice(0, 12)));
      },
    },
  };
}
