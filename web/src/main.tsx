/** Wires the page together: styles, the store's clock, the first load. */
import { render } from "preact";
import "@fontsource-variable/source-sans-3/wght.css";
import "@fontsource-variable/literata/wght.css";
import "./styles/tokens.css";
import "./styles/base.css";
import "./styles/day.css";
import "./styles/card.css";
import "./styles/slip.css";
import "./styles/cord.css";
import "./styles/lines.css";
import "./styles/notes.css";
import "./styles/band.css";
import "./styles/phone.css";
import "./styles/print.css";
import { App } from "./components/App";
import { load, tick } from "./store";

const MINUTE_MS = 60_000;

const root = document.getElementById("page");
if (root) render(<App />, root);
void load();
window.setInterval(tick, MINUTE_MS);
window.addEventListener("online", () => { void load(); });
document.addEventListener("visibilitychange", () => {
  if (document.visibilityState !== "visible") return;
  tick();
  void load();
});
