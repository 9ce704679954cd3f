import { defineConfig } from "vitest/config";
import { worker } from "./worker_build";

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
            { name: "chart", test: /src\/(screens\/trend|look\/(plot|share_rule))/, priority: 2 },
            { name: "forms", test: /src\/(screens\/(forms|handover|settings|bike\/(form|job_form|presets|typed_facts))|store\/empty)/, priority: 2 },
            { name: "plan", test: /src\/screens\/(job\/(plan|words|written|correct\.)|bike\/bike\.tsx)/, priority: 2 },
            { name: "fields", test: /src\/(limits|screens\/(field|typed|rewrite|part_fields))\.tsx?/, priority: 2 },
            { name: "review", test: /src\/screens\/review/, priority: 2 },
            { name: "names", test: /src\/screens\/customer_name/, priority: 2 },
            { name: "keeps", test: /src\/(screens\/keeps|look\/band_rule)/, priority: 2 },
            { name: "photos", test: /src\/(photo\.ts|(store|sync)\/photos|screens\/photo\/)/, priority: 2 },
            { name: "workshop", test: /src\/(screens\/workshop|look\/offset_rule)/, priority: 2 },
            {
              name: "work_out", priority: 2,
              test: /src\/(screens\/(work_out|clock_face|bench\/hanger)|domain\/(cage|chain\b|gears|hanger_effect|noise|rub_window|student_t)|look\/(dial|tap_rule|turns))/,
            },
            {
              name: "beside", priority: 2,
              test: /src\/(store\/words|screens\/(find\.ts|beside\.ts|shifts\/(?!tried)|job\/note|road\/(summary|noise_note)|bench\/(arrived|ten_minutes|torque_dock|adjusters)|makers_figure|wrench_pick|bike\/(qr|ticket)|qr_code|scan\b))/,
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
    worker("src/worker.ts", /^(index\.html|icon\.svg|roadproof\.webmanifest|assets\/(?!online-|look_sheet-)[^/]+\.(js|css))$/),
  ],
  server: { proxy: { "/api": process.env["ROADPROOF_SERVICE"] ?? "http://127.0.0.1:8000" } },
  test: { include: ["tests/**/*.test.{ts,tsx}"], environment: "node", testTimeout: 20_000, expect: { poll: { timeout: 10_000 } } },
});
