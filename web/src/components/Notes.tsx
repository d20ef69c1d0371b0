/** What lies beside the day. */
import type { ComponentChildren } from "preact";
import type { Day } from "../model";
import { DAY_NAMES, EVENING_NAMES, minutes, upperFirst, words } from "../words";
import type { Room } from "../vm/cards";
import { buyGroups, eveningNotes, fetchNote, leftLines, waitLines, type EveningNote, type LeftLine } from "../vm/notes";
import { notes } from "../marks";
import { lay } from "../sheet";
import { soughtText, sureOf } from "../vm/sure";
import { Sign, type SignName } from "./Sign";

interface NoteProps {
  title: string;
  sign: SignName;
  kind: string;
  id?: string;
  children: ComponentChildren;
}

function Note({ title, sign, kind, id, children }: NoteProps) {
  return (
    <section class={`note note-${kind}`} {...(id ? { id } : {})}>
      <h2><Sign name={sign} /> {title}</h2>
      {children}
    </section>
  );
}

export function Fetch({ room, day, hand }: { room: Room; day: Day; hand: number | null }) {
  const found = fetchNote(room, day, hand);
  return (
    <Note title={words.fetch} sign="hand" kind="fetch" id="note-fetch">
      {found ? (
        <>
          <ul class="fetch-list">{found.things.map((thing) => <li key={thing}>{thing}</li>)}</ul>
          <p class="quiet">{found.purpose}</p>
        </>
      ) : <p class="quiet">{words.nothingToFetch}</p>}
    </Note>
  );
}

export function Waits({ room, day }: { room: Room; day: Day }) {
  const lines = waitLines(room, day);
  return (
    <Note title={words.waitingTitle} sign="tray" kind="waits" id="note-waits">
      {lines.length ? (
        <ul>
          {lines.map((line) => (
            <li key={line.id}><b>{line.title}</b> <span>{[line.how, line.where].filter(Boolean).join(", ")}</span> <span class="quiet">{line.when}</span></li>
          ))}
        </ul>
      ) : <p class="quiet">{words.nothingWaits}</p>}
    </Note>
  );
}

function EveningView({ note, day }: { note: EveningNote; day: Day }) {
  const title = note.isBefore ? upperFirst(EVENING_NAMES.sunday_before) : `${words.eveningTitle}, ${DAY_NAMES[day]}`;
  return (
    <Note title={title} sign="lamp" kind="evening" {...(note.isBefore ? {} : { id: "note-evening" })}>
      {note.lines.length ? (
        <>
          <ul>
            {note.lines.map((line) => (
              <li key={line.id}><b>{line.name}</b> <span>{minutes(line.minutes)}</span> <span class="quiet">{line.purpose}</span></li>
            ))}
          </ul>
          <p class="quiet">{words.eveningTotal(note.used, note.of)}</p>
        </>
      ) : <p class="quiet">{words.noPrep}</p>}
    </Note>
  );
}

export function Evenings({ room, day }: { room: Room; day: Day }) {
  return <>{eveningNotes(room, day).map((note) => <EveningView key={note.evening} note={note} day={day} />)}</>;
}

function AskWhy({ line }: { line: LeftLine }) {
  const title = words.whyNotTitle(line.titles[0] ?? "");
  return (
    <button type="button" class="button button-quiet ask-why" aria-label={title} onClick={() => { lay({ kind: "why", about: line.wish, title }); }}>
      {words.whyLeft}
    </button>
  );
}

function LeftList({ title, lines }: { title: string; lines: LeftLine[] }) {
  if (lines.length === 0) return null;
  return (
    <>
      <h3>{title}</h3>
      <ul>
        {lines.map((line) => (
          <li key={line.id}>
            {line.titles.map((title) => <b key={title}>{title}</b>)} <span>{line.sentence}</span>
            {line.freedBy ? <span class="freed">{line.freedBy}</span> : null}
            {line.until ? <span class="quiet">{line.until}</span> : null}
            <AskWhy line={line} />
          </li>
        ))}
      </ul>
    </>
  );
}

export function LeftOver({ room }: { room: Room }) {
  const held = leftLines(room, "held_over");
  const gone = leftLines(room, "let_go");
  return (
    <Note title={words.leftOverTitle} sign="leaf" kind="left">
      {held.length + gone.length === 0 ? <p class="quiet">{words.allFits}</p> : null}
      <LeftList title={words.heldOver} lines={held} />
      <LeftList title={words.letGo} lines={gone} />
    </Note>
  );
}

export function Shopping({ room }: { room: Room }) {
  const groups = buyGroups(room);
  return (
    <Note title={words.shoppingTitle} sign="basket" kind="shop">
      {groups.length === 0 ? <p class="quiet">{words.nothingToBuy}</p> : null}
      {groups.map((group) => (
        <div key={group.when}>
          <h3>{group.when}</h3>
          <ul>
            {group.lines.map((line) => <li key={line.id}><b>{line.name}</b> <span>{line.amount}</span> <span class="quiet">{line.needBy}</span></li>)}
          </ul>
        </div>
      ))}
    </Note>
  );
}

/** What somebody wrote down this week. */
export function Written({ room }: { room: Room }) {
  if (notes.value.length === 0) return null;
  const about = (booking: string | null) => (booking ? room.names.title(room.names.booking(booking)?.activity ?? booking) : "");
  return (
    <Note title={words.notesTitle} sign="pen" kind="written">
      <ul>
        {notes.value.map((note) => <li key={note.id}><span>{note.text}</span> <span class="quiet">{about(note.booking)}</span></li>)}
      </ul>
    </Note>
  );
}

export function HowSure({ room }: { room: Room }) {
  const stored = room.view.stored;
  if (!stored) return null;
  const sure = sureOf(stored.plan.tiers);
  return (
    <Note title={words.sureTitle} sign="seal" kind="sure">
      <p><b>{sure.headline}</b></p>
      <p>{sure.why}</p>
      <p class="quiet">{soughtText(stored.plan)}</p>
      {room.view.week.loss_proof === "off" ? null : (room.view.hangs ?? []).map((one) => (
        <p key={`${one.wish} ${one.day}`}><b>{one.title}, {DAY_NAMES[one.day]}</b> <span class="quiet">{one.why}</span></p>
      ))}
      {stored.is_current ? null : <p>{words.outdated}</p>}
    </Note>
  );
}
