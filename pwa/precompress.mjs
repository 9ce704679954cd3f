/** Writes a .gz and a .br beside each built text file, and prints the bytes of a first load as a browser receives them. */
import { readdir, readFile, writeFile } from "node:fs/promises";
import { promisify } from "node:util";
import { brotliCompress, constants, gzip } from "node:zlib";

const DIST = new URL("./dist/", import.meta.url);
const TEXT = /\.(html|js|css|svg|webmanifest)$/;

const files = (await readdir(DIST, { recursive: true })).filter((name) => TEXT.test(name)).sort();
const rows = await Promise.all(
  files.map(async (name) => {
    const bytes = await readFile(new URL(name, DIST));
    const [gz, br] = await Promise.all([
      promisify(gzip)(bytes, { level: 9 }),
      promisify(brotliCompress)(bytes, { params: { [constants.BROTLI_PARAM_SIZE_HINT]: bytes.length } }),
    ]);
    await Promise.all([writeFile(new URL(`${name}.gz`, DIST), gz), writeFile(new URL(`${name}.br`, DIST), br)]);
    return { name, plain: bytes.length, gzip: gz.length, brotli: br.length };
  }),
);
console.table(rows);
const sum = (key) => (rows.reduce((total, row) => total + row[key], 0) / 1000).toFixed(1);
console.log(`all text files, charts included: ${sum("gzip")} kB gzip, ${sum("brotli")} kB brotli`);
