/** Builds the service worker and writes into it the files it is to keep. */
import { createHash } from "node:crypto";
import { readdir, readFile, writeFile } from "node:fs/promises";
import { join, resolve } from "node:path";
import { build, type Plugin, type ResolvedConfig } from "vite";

const PLACE = "self.__FILES__";

/** `kept` says which of the built files, by their paths below the output folder, the worker keeps for offline use. */
export function worker(source: string, kept: RegExp): Plugin {
  let config: ResolvedConfig;
  return {
    name: "worker",
    apply: "build",
    configResolved: (resolved) => void (config = resolved),
    async closeBundle(error) {
      if (error) return;
      const outDir = resolve(config.root, config.build.outDir);
      await build({
        root: config.root, configFile: false, publicDir: false, logLevel: "warn",
        build: {
          outDir, emptyOutDir: false, target: config.build.target,
          rolldownOptions: { input: join(config.root, source), output: { entryFileNames: "worker.js", format: "iife" } },
        },
      });
      await fillIn(outDir, kept);
    },
  };
}

async function fillIn(outDir: string, kept: RegExp): Promise<void> {
  const names = (await readdir(outDir, { recursive: true })).filter((name) => kept.test(name)).sort();
  const files = await Promise.all(names.map(async (name) => {
    const hash = createHash("sha384").update(await readFile(join(outDir, name))).digest("base64");
    // The page is asked for by its address, whatever its file is called.
    return { url: name === "index.html" ? "/" : name, integrity: `sha384-${hash}` };
  }));
  const path = join(outDir, "worker.js");
  const [before, after, ...more] = (await readFile(path, "utf8")).split(PLACE);
  if (after === undefined || more.length > 0) throw new Error(`${PLACE} must stand in the worker once.`);
  await writeFile(path, before + JSON.stringify(files) + after);
}
