/** Which tablets and phones are let in, letting one in by a picture, and letting one out. */
import { useEffect, useState } from "preact/hooks";
import * as api from "../api";
import { Trouble } from "../api";
import type { Device, Invitation } from "../model";
import { clearAway } from "../sheet";
import { words } from "../words";
import { SheetOf } from "./Sheet";
import { dateText } from "./Top";

interface Picture {
  lines: string;
  scale: string;
  side: number;
}

/** Only the lines of the service's drawing are taken over, so that nothing else in it could matter. */
function pictureOf(invitation: Invitation): Picture {
  const drawn = new DOMParser().parseFromString(invitation.picture, "image/svg+xml");
  const path = drawn.querySelector("path");
  return {
    lines: path?.getAttribute("d") ?? "",
    scale: path?.getAttribute("transform") ?? "",
    side: Number(drawn.documentElement.getAttribute("width")),
  };
}

function Invited({ invitation }: { invitation: Invitation }) {
  const { lines, scale, side } = pictureOf(invitation);
  return (
    <div class="invited" role="status">
      <p>{words.letInText(invitation.seconds)}</p>
      <svg role="img" aria-label={words.letInPicture} viewBox={`0 0 ${side} ${side}`}><path transform={scale} d={lines} stroke="#000" /></svg>
    </div>
  );
}

function DeviceLine({ device, letOut }: { device: Device; letOut: () => void }) {
  return (
    <li class="wish">
      <div><b>{device.name}</b> <span class="quiet">{words.seenOn(dateText(new Date(device.seen_on)))}</span></div>
      <button type="button" class="button" aria-label={words.letOut(device.name)} onClick={letOut}>{words.letOutShort}</button>
    </li>
  );
}

export function DevicesSheet() {
  const [devices, setDevices] = useState<readonly Device[]>([]);
  const [invitation, invite] = useState<Invitation | null>(null);
  const [trouble, say] = useState("");
  const tell = (error: unknown) => {
    if (!(error instanceof Trouble)) throw error;
    say(error.isUnreachable ? words.needsService : error.message);
  };
  const look = () => api.getDevices().then(setDevices).catch(tell);
  useEffect(() => { void look(); }, []);
  return (
    <SheetOf title={words.devices} close={clearAway}>
      <p class="quiet">{words.devicesText}</p>
      {devices.length ? (
        <ul class="wishes">
          {devices.map((one) => <DeviceLine key={one.id} device={one} letOut={() => { void api.shutOut(one.id).then(look).catch(tell); }} />)}
        </ul>
      ) : <p>{words.noDevices}</p>}
      {trouble ? <p role="alert">{trouble}</p> : null}
      {invitation ? <Invited invitation={invitation} />
        : <button type="button" class="button button-main" onClick={() => { void api.invite().then(invite).catch(tell); }}>{words.letIn}</button>}
    </SheetOf>
  );
}
