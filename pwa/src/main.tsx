import { render } from "preact";
import { App } from "./app";
import * as book from "./book";

// A build for tests only hands the book out; `vite build --mode test` makes one.
if (import.meta.env.MODE === "test") Object.assign(window, { book, version: import.meta.env["VITE_VERSION"] });

const root = document.getElementById("app");
if (root) {
  render(<App />, root);
  // Without a database nothing could be kept: that is said, rather than shown as an empty book.
  await book.openBook().catch((error: unknown) => render(<NoStorage why={String(error)} />, root));
}

function NoStorage({ why }: { why: string }) {
  return (
    <main>
      <h1>This browser keeps nothing for Roadproof</h1>
      <p>Leave private browsing, allow this site to store data, or make room on the phone. Then load the page again.</p>
      <p class="s">{why}</p>
    </main>
  );
}
