import { render } from "preact";
import { App } from "./app";
import * as book from "./book";

// A build for tests only hands the book out; `vite build --mode test` makes one.
if (import.meta.env.MODE === "test") Object.assign(window, { book, version: import.meta.env["VITE_VERSION"] });

const root = document.getElementById("app");
if (root) {
  render(<App />, root);
  await book.openBook();
}
