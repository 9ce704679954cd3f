// Audits pages with Lighthouse in one Chromium: the order as JSON on standard input, what came of it on standard output.
//   { chromium, pages: [url, …], categories: [name, …], runs, pair?, quick? }
// `pair` is a link that pairs the browser first; `quick` shortens the waits that only the performance needs.
// Each page answers { url, heading, scores: { category: [one a run] }, missed: ["audit: what it found", …] }.
import { mkdtemp, rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import lighthouse from "lighthouse";
import puppeteer from "puppeteer-core";

const SHORT_WAITS = { pauseAfterFcpMs: 100, pauseAfterLoadMs: 100, networkQuietThresholdMs: 400, cpuQuietThresholdMs: 100 };
const ARGS = ["--no-sandbox", "--disable-gpu", "--no-first-run", "--disable-background-networking", "--disable-sync"];

async function pairedPage(browser, link) {
  const page = await browser.newPage();
  await page.goto(link);
  // The book has come from the service: a bike stands on the screen.
  await page.waitForSelector('main a[href^="#/bikes/"]:not([href="#/bikes/new"]), main a[href^="#/jobs/"]', { timeout: 30_000 });
  return page;
}

async function audit(page, url, { categories, runs, quick, pair }) {
  const scores = Object.fromEntries(categories.map((name) => [name, []]));
  const missed = new Set();
  const settings = {
    onlyCategories: categories, disableStorageReset: !!pair, disableFullPageScreenshot: true,
    ...(quick ? SHORT_WAITS : {}),
  };
  for (let run = 0; run < runs; run++) {
    const { lhr } = await lighthouse(url, { logLevel: "error" }, { extends: "lighthouse:default", settings }, page);
    if (lhr.runtimeError) throw new Error(`${url}: ${lhr.runtimeError.message}`);
    for (const name of categories) {
      scores[name].push(lhr.categories[name].score);
      for (const { id, weight } of lhr.categories[name].auditRefs) {
        const found = lhr.audits[id];
        if (weight > 0 && found.score !== null && found.score < 1) missed.add(`${id}: ${details(found)}`);
      }
    }
  }
  const heading = await page.$eval("h1", (h1) => h1.textContent);
  return { url, heading, scores, missed: [...missed] };
}

function details({ title, details }) {
  const named = (details?.items ?? []).map((item) => item.node?.snippet ?? item.description ?? item.url ?? "");
  return [title, ...named.filter(Boolean).slice(0, 3)].join(" | ");
}

let order = "";
for await (const part of process.stdin) order += part;
order = JSON.parse(order);
const profile = await mkdtemp(join(tmpdir(), "roadproof-lighthouse-"));
const browser = await puppeteer.launch({ executablePath: order.chromium, args: ARGS, userDataDir: profile });
try {
  const page = order.pair ? await pairedPage(browser, order.pair) : await browser.newPage();
  const told = [];
  for (const url of order.pages) told.push(await audit(page, url, order));
  console.log(JSON.stringify(told));
} finally {
  await browser.close();
  await rm(profile, { recursive: true, force: true });
}
