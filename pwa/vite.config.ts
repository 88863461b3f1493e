import { VitePWA } from "vite-plugin-pwa";
import { defineConfig } from "vitest/config";
import about from "./package.json" with { type: "json" };
import { packedEngine } from "./src/build/engine_plugin.mjs";
import { MANIFEST } from "./src/build/manifest.ts";
import { textCatalogue } from "./src/build/text_plugin.mjs";

/** Where `npm run dev` sends API calls: the server that `flarenut serve` starts. */
const SERVER = "http://127.0.0.1:5080";

export default defineConfig({
  plugins: [
    textCatalogue(),
    packedEngine(),
    VitePWA({
      strategies: "injectManifest",
      srcDir: "src/offline",
      filename: "sw.ts",
      // The app registers the worker itself (offline/updates.ts), through its Trusted Types policy.
      injectRegister: false,
      registerType: "prompt",
      manifest: MANIFEST,
      // The browser fetches the manifest's icons itself when the app is put on the home screen.
      includeManifestIcons: false,
      manifestFilename: "app.webmanifest",
      injectManifest: {
        globPatterns: ["**/*.{js,mjs,css,html,wasm,py,json,woff2,svg}", "icons/icon-192.png"],
        globIgnores: ["**/screenshots/**"],
      },
    }),
  ],
  define: { __APP_VERSION__: JSON.stringify(about.version) },
  oxc: { jsx: { runtime: "automatic", importSource: "preact" } },
  build: {
    target: "es2022",
    // The polyfill is an inline script, which the content security policy refuses.
    modulePreload: { polyfill: false },
    // Data URLs of scripts and workers are refused by the same policy.
    assetsInlineLimit: 0,
    manifest: true,
    sourcemap: false,
  },
  worker: { format: "es", plugins: () => [packedEngine()] },
  server: { proxy: { "/api": SERVER } },
  test: {
    include: ["src/**/*.test.ts", "src/**/*.test.tsx"],
    environment: "node",
    // Machines are noisy: what takes this long hangs.
    testTimeout: 60_000,
    setupFiles: ["src/testing/setup.ts"],
    // Half of what the tests cost was a process for each file, and the libraries in it; setup.ts parts the files.
    pool: "threads",
    isolate: false,
  },
});
