import { createHash } from "node:crypto";
import { readFile } from "node:fs/promises";
import { resolve } from "node:path";
import { VitePWA } from "vite-plugin-pwa";
import { defineConfig } from "vitest/config";

/** Each precached file carries its hash, so that a captive portal's page is never stored in place of the app. */
async function withIntegrity<T extends { url: string; integrity?: string }>(entries: T[]) {
  const manifest = await Promise.all(
    entries.map(async (entry) => {
      const bytes = await readFile(resolve(import.meta.dirname, "dist", entry.url));
      return { ...entry, integrity: `sha384-${createHash("sha384").update(bytes).digest("base64")}` };
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
    reportCompressedSize: false,
  },
  plugins: [
    VitePWA({
      strategies: "injectManifest",
      srcDir: "src",
      filename: "worker.ts",
      injectRegister: false,
      manifest: false,
      injectManifest: {
        globPatterns: ["index.html", "icon.svg", "roadproof.webmanifest", "assets/*.{js,css}"],
        dontCacheBustURLsMatching: /assets\//,
        manifestTransforms: [withIntegrity],
      },
    }),
  ],
  server: { proxy: { "/api": process.env["ROADPROOF_SERVICE"] ?? "http://127.0.0.1:8000" } },
  test: { include: ["tests/**/*.test.ts"], environment: "node", testTimeout: 20_000 },
});
