/** Wires the page together: styles, the store's clock, the first load. */
import { effect } from "@preact/signals";
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
import "./styles/sheet.css";
import "./styles/acts.css";
import "./styles/ways.css";
import "./styles/room.css";
import "./styles/house.css";
import "./styles/friday.css";
import "./styles/ahead.css";
import "./styles/themes.css";
import "./styles/catalogue.css";
import "./styles/phone.css";
import "./styles/print.css";
import { App } from "./components/App";
import { sleepWell } from "./sleep";
import { fetchReady, hasReady } from "./ready";
import { fetchRooms } from "./rooms";
import { load, openFromShelf, phase, readClock, tick, unreachable, view } from "./store";
import { learn, TONGUES, tongue } from "./words";

const MINUTE_MS = 60_000;
/** Ways made ahead are heavy; the day comes first. */
const AFTER_MS = 1500;
const NEARLY_MS = 400;

effect(() => { document.documentElement.lang = TONGUES[tongue.value].locale; });
openFromShelf();
effect(() => {
  const of = view.value;
  if (of) window.setTimeout(() => { void fetchReady(of); }, AFTER_MS);
});
const root = document.getElementById("page");

/** A week that is nearly here is waited for: no sign of loading flashes before it. */
const comes = new Promise<void>((done) => {
  window.setTimeout(done, NEARLY_MS);
  effect(() => { if (phase.value !== "loading" || unreachable.value) done(); });
});

/** Words come beside the script; a language that does not come leaves English, and none at all is asked for again. */
async function show(into: Element): Promise<void> {
  const isSpoken = await learn(tongue.value) || await learn("en");
  await comes;
  if (isSpoken) render(<App />, into);
  else window.setTimeout(() => { void show(into); }, AFTER_MS);
}
if (root) void show(root);
// What the worker keeps is what has come by then.
void load().then(fetchRooms).then(sleepWell);
window.setInterval(() => {
  tick();
  if (view.value && !hasReady(view.value)) void fetchReady(view.value);
}, MINUTE_MS);
window.addEventListener("online", () => { void load(); });
document.addEventListener("visibilitychange", () => {
  if (document.visibilityState !== "visible") return;
  readClock();
  void load();
  void sleepWell();
});
