/** The sheet that lies over the day, if any. */
import { clearAway, lay, sheet } from "../sheet";
import * as store from "../store";
import { cardOf, type Room } from "../vm/cards";
import { NoteSheet, WhySheet } from "./AskSheets";
import { CardSheet } from "./CardSheet";
import { CompareSheet } from "./Compare";
import { DevicesSheet } from "./Devices";
import { HappenedSheet } from "./Happened";
import { InsteadSheet } from "./InsteadSheet";
import { MenuSheet } from "./Menu";
import { MoveSheet } from "./MoveSheet";
import { WishesSheet } from "./Wishes";

export function Sheets({ room }: { room: Room }) {
  const laid = sheet.value;
  if (!laid) return null;
  const booking = "booking" in laid && laid.booking ? room.names.booking(laid.booking) : undefined;
  switch (laid.kind) {
    case "happened": return <HappenedSheet room={room} day={store.day.value} hand={store.hand.value} />;
    case "card": return booking ? <CardSheet card={cardOf(room, booking)} /> : null;
    case "why": return <WhySheet about={laid.about} title={laid.title} />;
    case "move": return booking ? <MoveSheet key={`${booking.id} ${laid.day}`} room={room} booking={booking} day={laid.day} stretch={laid.stretch} /> : null;
    case "instead": return booking ? <InsteadSheet booking={booking.id} title={room.names.title(booking.activity)} how={laid.how} /> : null;
    case "note": return <NoteSheet booking={laid.booking} title={booking ? room.names.title(booking.activity) : null} />;
    case "menu": return <MenuSheet room={room} day={store.day.value} close={clearAway} lay={lay} />;
    case "wishes": return <WishesSheet room={room} />;
    case "devices": return <DevicesSheet />;
    case "compare": return <CompareSheet room={room} />;
  }
}
