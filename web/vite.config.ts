import { defineConfig } from "vite";

export default defineConfig({
  base: "./",
  build: {
    outDir: "../service/page",
    emptyOutDir: true,
    target: "es2022",
    // A data: address would need a hole in the Content-Security-Policy.
    assetsInlineLimit: 0,
    modulePreload: { polyfill: false },
  },
  oxc: { jsx: { runtime: "automatic", importSource: "preact" } },
  server: { proxy: { "/api": "http://127.0.0.1:8420" } },
});
