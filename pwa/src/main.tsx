import { render } from "preact";
import { App } from "./app";
import { openBook } from "./book";

const root = document.getElementById("app");
if (root) {
  render(<App />, root);
  await openBook();
}
