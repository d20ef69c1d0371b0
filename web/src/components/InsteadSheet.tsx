/** Something else in a booking's place: asked at once, shown with what it changes, done only then. */
import { useEffect, useState } from "preact/hooks";
import type { Instead } from "../api";
import type { MoveVerdict } from "../model";
import { clearAway, lay } from "../sheet";
import { tryInstead } from "../touch";
import { words } from "../words";
import { SheetOf } from "./Sheet";
import { Verdict } from "./Verdict";

export function InsteadSheet({ booking, title, how }: { booking: string; title: string; how: Instead }) {
  const [found, setFound] = useState<MoveVerdict | null>(null);
  useEffect(() => {
    let isWanted = true;
    void tryInstead(booking, how).then((verdict) => {
      if (!isWanted) return;
      if (verdict) setFound(verdict);
      else clearAway();
    });
    return () => { isWanted = false; };
  }, [booking, how]);
  const said = words.insteadOf[how](title);
  return (
    <SheetOf title={said} close={clearAway}>
      <p class="quiet">{words.insteadText[how]}</p>
      {found ? <Verdict verdict={found} said={said} heads={words.insteadHeads[how]} again={() => { lay({ kind: "instead", booking, how }); }} /> : <p role="status">{words.asking}</p>}
    </SheetOf>
  );
}
