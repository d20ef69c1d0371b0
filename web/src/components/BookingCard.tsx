/** One booking: what it is, who does what, what it asks, and what comes after. */
import { upperFirst, words } from "../words";
import type { Card, Loom, PartLine } from "../vm/types";
import { peekBadge } from "../ways";
import { CardActs } from "./CardActs";
import { Care } from "./Care";
import { Mark } from "./Mark";
import { Arm, Rails, Rope } from "./Reach";

function Head({ card }: { card: Card }) {
  return (
    <header class="card-head">
      <p class="card-when">
        {card.loud ? <strong class="loud">{card.loud}</strong> : <span class="quiet">{card.clock}</span>}
        {card.promise ? <span class="badge badge-promise">{words.promise}</span> : null}
        {peekBadge(card.id) ? <span class="badge badge-peek">{peekBadge(card.id)}</span> : null}
        {card.badges.map((badge) => <span key={badge} class="badge">{badge}</span>)}
      </p>
      <h3>{card.title}</h3>
      {card.sitting ? <p class="sitting">{card.sitting}</p> : null}
    </header>
  );
}

function Part({ part, loom }: { part: PartLine; loom: Loom }) {
  return (
    <div class={`part part-${part.strand.side}`} style={{ "--column": part.strand.column }}>
      <p class="part-who">
        <Mark mark={part.strand.mark} />
        <b>{part.strand.name}</b>
        <span>{words.minutes(part.minutes)}</span>
        <span class={`help help-${part.help}`}>{words.helps[part.help]}</span>
      </p>
      {part.does ? <p class="part-does">{part.does}</p> : null}
      <Arm part={part} loom={loom} />
    </div>
  );
}

function factLine(card: Card): string[] {
  const isLeadAlone = card.byLead && card.helpers.length < 2;
  return [
    upperFirst(card.place),
    card.mess ? words.messes[card.mess] ?? "" : "",
    card.setup ? words.setup(card.setup) : "",
    card.cleanup ? words.cleanup(card.cleanup) : "",
    isLeadAlone || card.helpers.length === 0 ? "" : words.with(card.helpers),
  ].filter((text) => text !== "");
}

function Facts({ card }: { card: Card }) {
  return <p class="facts">{factLine(card).map((fact) => <span key={fact} class="fact">{fact}</span>)}</p>;
}

function Slip({ card }: { card: Card }) {
  const facts = [words.meanwhile(card.parts.map((part) => part.strand.name)), words.minutes(card.minutes), words.with(card.helpers)];
  return (
    <div class="slip">
      <p class="slip-label">{words.overLabel}</p>
      <h4>{card.title}</h4>
      <p class="slip-facts">{facts.map((fact) => <span key={fact} class="fact">{fact}</span>)}</p>
      <CardActs card={card} />
    </div>
  );
}

function Tail({ card }: { card: Card }) {
  if (card.facts.length === 0 && !card.then && card.cautions.length === 0) return null;
  return (
    <div class="tail">
      {card.facts.map((fact) => <p key={fact}>{fact}</p>)}
      {card.then ? <p class="then">{card.then}</p> : null}
      <Care card={card} />
    </div>
  );
}

/** Edges show whose it is: the first strand's at the left, the last one's at the right. */
function edgeClass(card: Card): string {
  const left = card.parts.find((part) => part.strand.side === "left");
  const right = [...card.parts].reverse().find((part) => part.strand.side === "right");
  return [left ? `edge-left-${left.strand.mark}` : "", right ? `edge-right-${right.strand.mark}` : ""].join(" ");
}

export function BookingCard({ card, loom, joint }: { card: Card; loom: Loom; joint: boolean }) {
  return (
    <>
      <Rails card={card} loom={loom} />
      <article class={`card ${joint ? "card-joint" : "card-single"} ${edgeClass(card)}`} style={{ "--cord-column": loom.cordColumn }}>
        <Head card={card} />
        <Facts card={card} />
        <div class="parts">{card.parts.map((part) => <Part key={part.strand.id} part={part} loom={loom} />)}</div>
        {joint ? <Rope card={card} /> : null}
        <Tail card={card} />
        <CardActs card={card} />
        {card.over.map((over) => <Slip key={over.id} card={over} />)}
      </article>
      {joint ? null : <Rope card={card} />}
    </>
  );
}
