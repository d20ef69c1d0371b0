/** What was done just now, above the band. */
import type { Said } from "../store";
import { words } from "../words";
import { Sign } from "./Sign";

interface NoticeProps {
  said: Said;
  close: () => void;
  undo: () => void;
  compare: () => void;
}

/** With the way back from it. */
export function Notice({ said, close, undo, compare }: NoticeProps) {
  return (
    <div class={`notice notice-${said.tone}`} role="status">
      <p>{said.text}</p>
      {said.undo ? <button type="button" class="button" onClick={undo}><Sign name="turn" /> {said.undoes ? words.undoNext(said.undoes) : words.undo}</button> : null}
      {said.again ? <button type="button" class="button" onClick={() => { close(); said.again?.(); }}>{words.askAgain}</button> : null}
      {said.compare ? <button type="button" class="button" onClick={compare}>{words.seeDifference}</button> : null}
      <button type="button" class="button button-quiet" onClick={close}>{words.close}</button>
    </div>
  );
}
