/** Moving without dragging: choose a day and a stretch, see what is in the way, then do it or not. */
import { useEffect, useState } from "preact/hooks";
import type { Booking, Day, MoveVerdict } from "../model";
import { clearAway, lay } from "../sheet";
import { tryMove } from "../touch";
import { DAYS } from "../time";
import type { Room } from "../vm/cards";
import { DAY_NAMES, upperFirst, words } from "../words";
import { SheetOf } from "./Sheet";
import { Verdict } from "./Verdict";

interface ChooserProps {
  room: Room;
  day: Day;
  stretch: string;
  pick: (day: Day, stretch: string) => void;
}

function Chooser({ room, day, stretch, pick }: ChooserProps) {
  const { week, household } = room.view;
  const days = DAYS.filter((one) => week.teaching_days.includes(one) || one === day);
  return (
    <>
      <label class="field"><span>{words.moveDay}</span>
        <select value={day} onChange={(event) => { pick(event.currentTarget.value as Day, stretch); }}>
          {days.map((one) => <option key={one} value={one}>{upperFirst(DAY_NAMES[one])}</option>)}
        </select>
      </label>
      <label class="field"><span>{words.moveStretch}</span>
        <select value={stretch} onChange={(event) => { pick(day, event.currentTarget.value); }}>
          {household.stretches.map((one) => <option key={one.id} value={one.id}>{one.name}</option>)}
        </select>
      </label>
    </>
  );
}

export function MoveSheet({ room, booking, day, stretch }: { room: Room; booking: Booking; day: Day; stretch: string | null }) {
  const first = room.view.household.stretches[0]?.id ?? "";
  const [spot, setSpot] = useState({ day, stretch: stretch ?? booking.stretch ?? first });
  // What comes back is of the spot it was asked for, which may not be the chosen one any more.
  const [asked, setAsked] = useState<{ of: typeof spot; found?: MoveVerdict | null } | null>(null);
  const { found } = asked?.of === spot ? asked : {};
  const isAsking = asked?.of === spot && found === undefined;
  const isHere = spot.day === booking.day && spot.stretch === booking.stretch;
  const ask = () => {
    setAsked({ of: spot });
    void tryMove(booking.id, spot.day, spot.stretch).then((verdict) => { setAsked((now) => (now?.of === spot ? { of: spot, found: verdict } : now)); });
  };
  useEffect(() => { if (stretch && !isHere) ask(); }, []);
  return (
    <SheetOf title={words.moveOf(room.names.title(booking.activity))} close={clearAway}>
      <p class="quiet">{words.moveText}</p>
      <div class="form">
        <Chooser room={room} {...spot} pick={(toDay, toStretch) => { setSpot({ day: toDay, stretch: toStretch }); }} />
        {isHere ? <p class="quiet">{words.moveHere}</p>
          : <button type="button" class="button button-main" onClick={ask} disabled={isAsking}>{words.moveTry}</button>}
      </div>
      {isAsking ? <p role="status">{words.asking}</p> : found ? <Verdict verdict={found} said={words.moveOf(found.title)} heads={words.moveHeads}
        again={() => { lay({ kind: "move", booking: booking.id, ...spot }); }} /> : null}
    </SheetOf>
  );
}
