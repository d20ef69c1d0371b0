/** Ahead: what to make ready this evening and later, what to buy, what to do about books. */
import { useState } from "preact/hooks";
import type { Ahead as Lists, Batch, Day, EveningList, PrepItem, Shop, ToBuy, Week } from "../contract";
import { now, room, unreachable } from "../store";
import { clockOf, DAYS, minutesOf } from "../time";
import { Sign } from "../components/Sign";
import { DAY_NAMES, listOf, minutes, upperFirst, words } from "../words";
import { getAhead, setBought, setReady, setShops } from "./ahead";
import { Books } from "./Books";
import { dateText, useFresh } from "./dates";
import { Input, Pick } from "./form";
import { tell } from "./tell";

function Item({ evening, item }: { evening: EveningList; item: PrepItem }) {
  const latest = `${dateText(item.latest.date)}, ${clockOf(minutesOf(item.latest.time))}`;
  return (
    <li class="ahead-line ahead-tick">
      <div><b>{upperFirst(item.name)}</b> <span>{minutes(item.minutes)}, {tell("forWhat", item.wanted_for)}</span> <span class="quiet">{tell("latest", latest)}</span></div>
      <button type="button" class={`act act-tick ${item.done ? "is-ticked" : ""}`} aria-pressed={item.done} aria-label={tell("isReady", item.name)} onClick={() => { void setReady(evening, item); }}><Sign name="seal" /></button>
    </li>
  );
}

function Together({ evening, batch }: { evening: EveningList; batch: Batch }) {
  return (
    <div class={batch.tool && batch.items.length > 1 ? "ahead-batch" : ""}>
      {batch.tool && batch.items.length > 1 && batch.warm_up_min ? <h3>{tell("together", minutes(batch.warm_up_min))}</h3> : null}
      <ul class="ahead-lines">{batch.items.map((item) => <Item key={`${item.wish} ${item.go} ${item.task}`} evening={evening} item={item} />)}</ul>
    </div>
  );
}

function Evening({ evening }: { evening: EveningList }) {
  const facts = [evening.budget ? tell("ofMinutes", minutes(evening.minutes), minutes(evening.budget)) : minutes(evening.minutes), evening.quiet ? tell("quietly") : ""];
  return (
    <>
      <p class="quiet">{facts.filter(Boolean).join(" · ")}</p>
      {evening.batches.map((batch) => <Together key={batch.tool ?? ""} evening={evening} batch={batch} />)}
    </>
  );
}

function Prep({ lists, today }: { lists: Lists; today: string }) {
  const tonight = lists.evenings.find((one) => one.date === today);
  const others = lists.evenings.filter((one) => one !== tonight);
  return (
    <>
      <section class="room-part" aria-labelledby="tonight">
        <h2 id="tonight">{tell("tonight")}</h2>
        {tonight ? <Evening evening={tonight} /> : <p class="quiet">{tell("freeTonight")}</p>}
      </section>
      <section class="room-part" aria-labelledby="evenings">
        <h2 id="evenings">{tell("otherEvenings")}</h2>
        {others.length ? null : <p class="quiet">{tell("noOther")}</p>}
        {others.map((one) => <section key={one.date} aria-label={tell("evening", dateText(one.date))}><h3>{tell("evening", dateText(one.date))}</h3><Evening evening={one} /></section>)}
        {lists.later.length ? (
          <details>
            <summary>{tell("later")}</summary>
            <ul>{lists.later.map((one) => <li key={`${one.week} ${one.title}`}>{`${one.title}: ${minutes(one.minutes)}`}</li>)}</ul>
          </details>
        ) : null}
      </section>
    </>
  );
}

function where(line: ToBuy): string {
  if (!line.buyable) return tell("askAround");
  if (line.shop_on) return tell("atShop", dateText(line.shop_on)) + (line.closes ? ` (${tell("closes", line.closes)})` : "");
  return line.not_before ? tell("freshOnly") : tell("anyShop");
}

function Buy({ line }: { line: ToBuy }) {
  const when = [tell("needBy", dateText(line.need_by)), line.not_before ? tell("notBefore", dateText(line.not_before)) : ""];
  const more = [tell("forWhat", line.needed_for.join(", ")), line.in_stock ? tell("inHouse", line.in_stock) : "", line.substitutes.length ? tell("instead", listOf(line.substitutes)) : ""];
  return (
    <li class="ahead-line">
      <div>
        <b>{upperFirst(line.name)}, {words.amount(line.count, line.unit)}</b> <span>{when.filter(Boolean).join(" · ")}</span>
        <span class="quiet">{more.filter(Boolean).join(" · ")}</span>
      </div>
      <button type="button" class="button" aria-label={`${tell("bought")}: ${line.name}`} onClick={() => { void setBought(line); }}>{tell("bought")}</button>
    </li>
  );
}

/** One trip after the other, and each thing within the last one that is in time. */
function Trips({ lines }: { lines: readonly ToBuy[] }) {
  const trips = [...new Set(lines.map(where))];
  return (
    <>
      {trips.map((trip) => (
        <section key={trip} aria-label={upperFirst(trip)}>
          <h3>{upperFirst(trip)}</h3>
          <ul class="ahead-lines">{lines.filter((line) => where(line) === trip).map((line) => <Buy key={`${line.material} ${line.need_by}`} line={line} />)}</ul>
        </section>
      ))}
    </>
  );
}

/** What does not keep from the weekly shop needs another one. */
function Shops({ week: { id, shops } }: { week: Week }) {
  const [day, pick] = useState<Day>("wednesday");
  const [time, set] = useState("16:00");
  const textOf = ({ at }: Shop): string => (at ? `${DAY_NAMES[at.day]} ${at.time}` : tell("beforeWeek"));
  return (
    <details>
      <summary>{tell("shops", shops.map(textOf).join(" · "))}</summary>
      <div class="room-acts">{shops.map((shop) => <button key={textOf(shop)} type="button" class="button" onClick={() => { void setShops(id, shops.filter((one) => one !== shop)); }}>{tell("noShop", textOf(shop))}</button>)}</div>
      <div class="form">
        <Pick label={tell("shopDay")} value={day} choices={DAYS.map((one) => [one, DAY_NAMES[one]] as const)} change={(one) => { pick(one as Day); }} />
        <Input type="time" label={tell("shopTime")} value={time} change={set} />
      </div>
      <div class="room-acts"><button type="button" class="button" disabled={!time} onClick={() => { void setShops(id, [...shops, { before_week: false, at: { day, time }, closes: "" }]); }}>{tell("addShop")}</button></div>
    </details>
  );
}

function Shopping({ lists, week, of }: { lists: Lists; week: string; of: number }) {
  const cost = lists.to_buy.reduce((sum, line) => sum + line.cost, 0);
  return (
    <section class="room-part" aria-labelledby="shopping">
      <h2 id="shopping">{tell("shopping")}</h2>
      {lists.to_buy.length ? (
        <>
          <p class="quiet">{cost ? tell("total", cost, of) : ""}</p>
          <Trips lines={lists.to_buy} />
        </>
      ) : <p class="quiet">{tell("nothingToBuy")}</p>}
      {lists.tools.length ? (
        <>
          <h3>{tell("tools")}</h3>
          <ul>{lists.tools.map((one) => <li key={`${one.material} ${one.needed_for}`}><b>{one.name}</b> {tell("toolLine", one.have, one.want, one.needed_for)}{one.substitutes.length ? `, ${tell("instead", listOf(one.substitutes))}` : ""}</li>)}</ul>
        </>
      ) : null}
      {room.value ? <Shops week={room.value.view.week} /> : null}
      <div class="room-acts">
        <a class="button" target="_blank" rel="noopener" href={`api/weeks/${encodeURIComponent(week)}/beforehand`}>{words.printAhead}</a>
        <a class="button" download href={`api/weeks/${encodeURIComponent(week)}/ahead/table?format=xlsx`}>{tell("asTable")}</a>
      </div>
    </section>
  );
}

function Lists({ week, of }: { week: string; of: number }) {
  const lists = useFresh(week, () => getAhead(week));
  if (!lists) return <p role="status">{unreachable.value ? words.needsService : words.roomComes}</p>;
  return (
    <>
      <Prep lists={lists} today={now.value.date} />
      <Shopping lists={lists} week={week} of={of} />
      <Books lines={lists.books} />
    </>
  );
}

export default function Ahead() {
  const view = room.value?.view;
  return view ? <Lists week={view.week.id} of={view.household.limits.money_a_week} /> : <p>{words.roomComes}</p>;
}
