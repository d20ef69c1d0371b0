/** Dragging a card by its handle to a day of the band or to a stretch. The move sheet is its twin without dragging. */
import type { Day } from "./model";
import { lay } from "./sheet";
import { day } from "./store";
import type { Card } from "./vm/types";

/** A shorter way is a tap. */
const LEAST_PX = 12;

interface Spot {
  day: Day;
  stretch: string | null;
  element: Element;
}

function spotAt(x: number, y: number): Spot | null {
  const under = document.elementFromPoint(x, y);
  const onBand = under?.closest<HTMLElement>("[data-day]");
  if (onBand) return { day: onBand.dataset["day"] as Day, stretch: null, element: onBand };
  const block = under?.closest<HTMLElement>("[data-stretch]");
  return block ? { day: day.value, stretch: block.dataset["stretch"] ?? null, element: block } : null;
}

/** Follows one pointer from the handle until it is lifted. */
export function grab(event: PointerEvent, card: Card): void {
  const handle = event.currentTarget as HTMLElement;
  const paper = handle.closest<HTMLElement>(".card, .step");
  const from = { x: event.clientX, y: event.clientY };
  let over: Spot | null = null;
  let isDrag = false;
  handle.setPointerCapture(event.pointerId);
  const move = (to: PointerEvent) => {
    const [x, y] = [to.clientX - from.x, to.clientY - from.y];
    isDrag ||= Math.hypot(x, y) > LEAST_PX;
    if (!isDrag || !paper) return;
    paper.classList.add("is-held");
    paper.style.translate = `${x}px ${y}px`;
    over?.element.classList.remove("is-under");
    over = spotAt(to.clientX, to.clientY);
    over?.element.classList.add("is-under");
  };
  const drop = () => {
    for (const [kind, act] of listeners) handle.removeEventListener(kind, act as EventListener);
    paper?.classList.remove("is-held");
    if (paper) paper.style.translate = "";
    over?.element.classList.remove("is-under");
  };
  const lift = () => {
    drop();
    if (!isDrag) return;
    // The click that follows a drag would open the sheet a second time.
    const swallow = (click: Event) => { click.stopImmediatePropagation(); };
    handle.addEventListener("click", swallow, { capture: true });
    window.setTimeout(() => {
      handle.removeEventListener("click", swallow, { capture: true });
      if (over) lay({ kind: "move", booking: card.id, day: over.day, stretch: over.stretch });
    }, 0);
  };
  const listeners = [["pointermove", move], ["pointerup", lift], ["pointercancel", drop]] as const;
  for (const [kind, act] of listeners) handle.addEventListener(kind, act as EventListener);
}
