/** Sheets that ask or take one thing: why here, a note. */
import { useEffect, useState } from "preact/hooks";
import * as api from "../api";
import { Trouble } from "../api";
import { clearAway } from "../sheet";
import { view } from "../store";
import { writeNote } from "../touch";
import { words } from "../words";
import { SheetOf } from "./Sheet";

function answerTo(about: string): Promise<readonly string[]> {
  const week = view.value?.week.id ?? "";
  return api.getWhy(week, about).then((answer) => answer.sentences, (error: unknown) => {
    if (!(error instanceof Trouble)) throw error;
    return [error.isUnreachable ? words.needsService : words.failed(error.message)];
  });
}

export function WhySheet({ about, title }: { about: string; title: string }) {
  const [said, say] = useState<readonly string[]>([]);
  useEffect(() => {
    let isWanted = true;
    void answerTo(about).then((sentences) => { if (isWanted) say(sentences); });
    return () => { isWanted = false; };
  }, [about]);
  return (
    <SheetOf title={title} close={clearAway}>
      <div class="why" role="status">
        {said.length ? said.map((sentence) => <p key={sentence}>{sentence}</p>) : <p>{words.asking}</p>}
      </div>
    </SheetOf>
  );
}

export function NoteSheet({ booking, title }: { booking: string | null; title: string | null }) {
  const [text, write] = useState("");
  const keep = (event: Event) => {
    event.preventDefault();
    if (text.trim()) writeNote(booking, text.trim());
    clearAway();
  };
  return (
    <SheetOf title={words.noteTitle(title)} close={clearAway}>
      <form class="form" onSubmit={keep}>
        <label class="field"><span>{words.noteLabel}</span>
          <textarea rows={4} maxLength={2000} value={text} onInput={(event) => { write(event.currentTarget.value); }} />
        </label>
        <button type="submit" class="button button-main">{words.noteKeep}</button>
      </form>
    </SheetOf>
  );
}
