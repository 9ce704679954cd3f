import { createHash } from "node:crypto";
import { readFile } from "node:fs/promises";
import { resolve } from "node:path";
import { VitePWA } from "vite-plugin-pwa";
import type { Plugin } from "vite";
import { defineConfig } from "vitest/config";

let outDir = "";
const noteOutDir: Plugin = {
  name: "note-out-dir",
  configResolved: ({ root, build }) => void (outDir = resolve(root, build.outDir)),
};

/** Each precached file carries its hash, so that a captive portal's page is never stored in place of the app. */
async function withIntegrity<T extends { url: string; integrity?: string }>(entries: T[]) {
  const manifest = await Promise.all(
    entries.map(async (entry) => {
      const bytes = await readFile(resolve(outDir, entry.url));
      const integrity = `sha384-${createHash("sha384").update(bytes).digest("base64")}`;
      // The page is asked for by its address, whatever its file is called.
      return { ...entry, url: entry.url === "index.html" ? "/" : entry.url, integrity };
    }),
  );
  return { manifest };
}

export default defineConfig({
  build: {
    target: "es2022",
    // A data: address would need a wider content security policy.
    assetsInlineLimit: 0,
    modulePreload: { polyfill: false },
    rolldownOptions: {
      output: {
        // One file compresses best. By itself comes what a first load leaves out: charts, what is worked
        // out at the bike, and what needs a signal anyway.
        codeSplitting: {
          includeDependenciesRecursively: false,
          groups: [
            { name: "chart", test: /src\/(screens\/trend|look\/plot)/, priority: 2 },
            {
              name: "work_out", priority: 2,
              test: /src\/(screens\/(work_out|clock_face|bench\/hanger)|domain\/(cage|chain|gears|hanger_effect|noise|rub_window|student_t)|look\/(dial|share_rule|tap_rule|turns))/,
            },
            { name: "online", test: /src\/(screens\/look_sheet|look\/contrast)/, priority: 2 },
            { name: "app", test: /./, priority: 1 },
          ],
        },
      },
    },
    reportCompressedSize: false,
  },
  plugins: [
    noteOutDir,
    VitePWA({
      strategies: "injectManifest",
      srcDir: "src",
      filename: "worker.ts",
      injectRegister: false,
      manifest: false,
      injectManifest: {
        globIgnores: ["assets/{online,look_sheet}-*"],
        globPatterns: ["index.html", "icon.svg", "roadproof.webmanifest", "assets/*.{js,css}"],
        dontCacheBustURLsMatching: /assets\//,
        manifestTransforms: [withIntegrity],
        rollupFormat: "iife",
      },
    }),
  ],
  server: { proxy: { "/api": process.env["ROADPROOF_SERVICE"] ?? "http://127.0.0.1:8000" } },
  test: { include: ["tests/**/*.test.{ts,tsx}"], environment: "node", testTimeout: 20_000 },
});
