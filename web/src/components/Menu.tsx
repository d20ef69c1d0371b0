/** What is wanted seldom: wishes, comparing, paper, language, taking back. */
import type { Day } from "../model";
import { isTrusted } from "../sleep";
import type { Sheet } from "../sheet";
import { enter, type RoomName } from "../rooms";
import { changes, undo } from "../store";
import type { Room } from "../vm/cards";
import { words } from "../words";
import { SheetOf } from "./Sheet";
import { Sign } from "./Sign";
import { Tongues } from "./Tongues";

interface MenuProps {
  room: Room;
  day: Day;
  close: () => void;
  lay: (next: Sheet) => void;
}

/** The latest changes, so that it is clear what is taken back. */
function TakeBack() {
  const [last] = changes.value;
  if (!last) return null;
  return <button type="button" class="choice" onClick={() => { void undo(); }}><Sign name="turn" /> {words.undoNext(last.what)}</button>;
}

export function MenuSheet({ room, day, close, lay }: MenuProps) {
  const week = `api/weeks/${encodeURIComponent(room.view.week.id)}`;
  const hasPlan = room.view.stored !== null;
  return (
    <SheetOf title={words.menuTitle} close={close}>
      <div class="choices">
        <TakeBack />
        <button type="button" class="choice" onClick={() => { lay({ kind: "wishes" }); }}>{words.chooseWishes}</button>
        {(Object.keys(words.rooms) as RoomName[]).filter((name) => name !== "start").map((name) => (
          <button key={name} type="button" class="choice" onClick={() => { close(); enter(name); }}>{words.rooms[name]}</button>
        ))}
        {hasPlan ? (
          <>
            <button type="button" class="choice" onClick={() => { lay({ kind: "compare" }); }}>{words.compare}</button>
            <button type="button" class="choice" onClick={() => { lay({ kind: "note", booking: null }); }}>{words.noteAdd}</button>
            <a class="choice" target="_blank" rel="noopener" href={`${week}/sheet`}>{words.printWeek}</a>
            <a class="choice" target="_blank" rel="noopener" href={`${week}/takeover/${day}`}>{words.printDay}</a>
            <a class="choice" target="_blank" rel="noopener" href={`${week}/beforehand`}>{words.printAhead}</a>
            <a class="choice" download href={`${week}/export?format=html`}>{words.sendWeek}</a>
          </>
        ) : null}
        <button type="button" class="choice" onClick={() => { lay({ kind: "devices" }); }}>{words.devices}</button>
        <p class="quiet menu-line">{isTrusted() ? words.opensAsleep : words.opensAwake}</p>
        <Tongues />
      </div>
    </SheetOf>
  );
}
