import { svelte } from "@sveltejs/vite-plugin-svelte";
import { svelteTesting } from "@testing-library/svelte/vite";
import { defineConfig } from "vitest/config";
import { precache } from "./precache.ts";

export default defineConfig(({ mode }) => ({
  plugins: [svelte(), precache(), ...(mode === "test" ? [svelteTesting()] : [])],
  build: {
    outDir: "../src/fencerow/web/static",
    emptyOutDir: true,
    target: "es2022",
    modulePreload: { polyfill: false },
    chunkSizeWarningLimit: 700,
  },
  server: { proxy: { "/api": { target: "http://127.0.0.1:8765", changeOrigin: true } } },
  test: {
    environment: "happy-dom",
    include: ["src/**/*.test.ts"],
    setupFiles: ["src/testing.ts"],
    restoreMocks: true,
  },
}));
