import { readFileSync } from "node:fs";
import { defineConfig, type Plugin } from "vite";

const SHIPPED = {
  "literata": "@fontsource-variable/literata",
  "source-sans-3": "@fontsource-variable/source-sans-3",
  "preact": "preact",
  "preact-signals": "@preact/signals",
};

/** Whatever is shipped inside the page brings its licence along, and is listed with its version. */
function licences(): Plugin {
  return {
    name: "licences",
    generateBundle() {
      const parts = [];
      for (const [name, from] of Object.entries(SHIPPED)) {
        const read = (file: string) => readFileSync(new URL(`node_modules/${from}/${file}`, import.meta.url), "utf8");
        this.emitFile({ type: "asset", fileName: `licences/${name}.txt`, source: read("LICENSE") });
        const { version, license } = JSON.parse(read("package.json"));
        parts.push({ name: from, version, licence: license });
      }
      this.emitFile({ type: "asset", fileName: "licences/parts.json", source: JSON.stringify(parts) });
    },
  };
}

/** The page shows nothing without its words and its week: they are asked for together with the script, not after it. */
function askedAtOnce(): Plugin {
  return {
    name: "asked-at-once",
    transformIndexHtml: {
      order: "post",
      handler: (_, { bundle }) => [
        "/api/view",
        ...Object.keys(bundle ?? {}).filter((file) => /\/english-[\w-]+\.json$/.test(file)).map((file) => `./${file}`),
      ].map((href) => ({ tag: "link", attrs: { rel: "preload", as: "fetch", crossorigin: true, href }, injectTo: "head" as const })),
    },
  };
}

export default defineConfig({
  base: "./",
  plugins: [licences(), askedAtOnce()],
  build: {
    outDir: "../service/page",
    emptyOutDir: true,
    target: "es2022",
    // A data: address would need a hole in the Content-Security-Policy.
    assetsInlineLimit: 0,
    cssCodeSplit: false,
    modulePreload: false,
    rolldownOptions: {
      input: { index: "index.html", sw: "src/worker.ts" },
      output: {
        // The rooms come together anyway, and pack better as one.
        codeSplitting: { includeDependenciesRecursively: false, groups: [{ name: "rooms", test: /src\/(rooms\/|words\/(?!spanish|english).*json)/ }] },
        // The worker's address must stay the same for ever.
        entryFileNames: (chunk) => (chunk.name === "sw" ? "sw.js" : "assets/[name]-[hash].js"),
      },
    },
  },
  oxc: { jsx: { runtime: "automatic", importSource: "preact" } },
  server: { proxy: { "/api": "http://127.0.0.1:8027" } },
});
