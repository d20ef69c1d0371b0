/** The frame around a room beside the week: its name, the way back, and what is said when it does not come. */
import type { ComponentType } from "preact";
import { useEffect, useRef, useState } from "preact/hooks";
import { fetchRoom, leaveRoom, type RoomName } from "../rooms";
import { view } from "../store";
import { words } from "../words";
import { Foot, Messages } from "./Said";
import { Sign } from "./Sign";

/** The room once it is here, `gone` when it cannot be had, nothing while it comes. */
function useRoom(name: RoomName): ComponentType | "gone" | null {
  const [found, keep] = useState<{ name: RoomName; room: ComponentType | "gone" } | null>(null);
  useEffect(() => {
    let isWanted = true;
    const take = (room: ComponentType | "gone") => { if (isWanted) keep({ name, room }); };
    void fetchRoom(name).then(take, () => { take("gone"); });
    return () => { isWanted = false; };
  }, [name]);
  return found?.name === name ? found.room : null;
}

/** Reading the page anew is what helps, whether the service slept or was renewed meanwhile. */
function Gone() {
  return (
    <div role="alert">
      <p>{words.roomGone}</p>
      <button type="button" class="button" onClick={() => { location.reload(); }}>{words.retry}</button>
    </div>
  );
}

export function RoomPage({ name }: { name: RoomName }) {
  const Room = useRoom(name);
  const title = useRef<HTMLHeadingElement>(null);
  useEffect(() => { title.current?.focus({ preventScroll: true }); }, [name]);
  return (
    <div class="page page-room">
      <header class="room-head">
        <h1 ref={title} tabIndex={-1}>{words.rooms[name]}</h1>
        {view.value ? <button type="button" class="button" onClick={leaveRoom}><Sign name="turn" /> {words.roomBack}</button> : null}
      </header>
      <Messages />
      <main id="day" class="room">
        {Room === "gone" ? <Gone /> : Room ? <Room /> : <p role="status">{words.roomComes}</p>}
      </main>
      <Foot />
    </div>
  );
}
