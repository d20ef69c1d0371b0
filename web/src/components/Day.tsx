/** The shown day, large: strands down the page, the cord between them. */
import { words } from "../words";
import type { Block, DayPicture, Loom, Placed } from "../vm/types";
import { BookingCard } from "./BookingCard";
import { Fixed, Gap, Sleep, Step } from "./Lines";
import { Mark } from "./Mark";
import { Sign } from "./Sign";

function columnsOf(loom: Loom): string {
  const strand = "minmax(0, 1fr)";
  return Array.from({ length: loom.columns }, (_, index) => (index + 1 === loom.cordColumn ? "var(--cord-width)" : strand)).join(" ");
}

function Inside({ item, loom }: { item: Placed; loom: Loom }) {
  switch (item.kind) {
    case "card": return <BookingCard card={item.card} loom={loom} joint={item.column === "all"} />;
    case "step": return <Step card={item.card} loom={loom} />;
    case "fixed": return <Fixed fixed={item.fixed} />;
    case "nap": return <Sleep nap={item.nap} />;
    case "gap": return <Gap gap={item.gap} isBeside={item.isBeside} />;
  }
}

/** From the strand to the cord, so that a card can reach in. */
function gridColumn(item: Placed, loom: Loom): string {
  if (item.column === "all" || item.kind === "step") return "1 / -1";
  if (item.column === "cord") return item.isBeside ? `${loom.cordColumn} / span 1` : "1 / -1";
  if (item.kind !== "card") return `${item.column} / span 1`;
  return item.column < loom.cordColumn ? `${item.column} / ${loom.cordColumn + 1}` : `${loom.cordColumn} / ${item.column + 1}`;
}

function Row({ item, loom }: { item: Placed; loom: Loom }) {
  const side = typeof item.column === "number" ? (item.column < loom.cordColumn ? "left" : "right") : item.column;
  const style = { "--row": item.row, "--rows": item.rows, "--across": gridColumn(item, loom) };
  return (
    <li class={`row row-${item.kind} row-${side} is-${item.when}`} style={style}>
      {item.when === "now" && item.kind === "card" ? <span class="flag">{words.now}</span> : null}
      {item.when === "next" ? <span class="flag">{words.next}</span> : null}
      <Inside item={item} loom={loom} />
    </li>
  );
}

function BlockHead({ block }: { block: Block }) {
  if (block.title === "") return null;
  return (
    <header class="block-head">
      {block.kind === "meal" ? <Sign name="bowl" /> : null}
      <h2>{block.title}</h2>
      <p class={block.loud ? "loud-clock" : "quiet"}>{block.clock}</p>
      {block.note ? <p class="quiet block-note">{block.note}</p> : null}
    </header>
  );
}

function BlockView({ block, loom, isPlanned = true }: { block: Block; loom: Loom; isPlanned?: boolean }) {
  return (
    <section class={`block block-${block.kind}`} {...(block.kind === "stretch" ? { "data-stretch": block.stretch } : {})}>
      <BlockHead block={block} />
      {block.items.length > 0
        ? <ol class="rows">{block.items.map((item) => <Row key={item.id} item={item} loom={loom} />)}</ol>
        : block.kind === "stretch" && isPlanned ? <p class="open">{words.openStretch}</p> : null}
    </section>
  );
}

function Heads({ loom }: { loom: Loom }) {
  return (
    <div class="heads" aria-hidden="true">
      {loom.strands.map((strand) => (
        <span key={strand.id} class={`head head-${strand.side}`} style={{ "--column": strand.column }}>
          <Mark mark={strand.mark} /> {strand.name}
        </span>
      ))}
      <span class="head head-cord" style={{ "--column": loom.cordColumn }}>{loom.lead.name}</span>
    </div>
  );
}

function Threads({ loom }: { loom: Loom }) {
  return (
    <div class="threads" aria-hidden="true">
      {loom.strands.map((strand) => (
        <i key={strand.id} class={`thread thread-${strand.mark} thread-${strand.side}`} style={{ "--column": strand.column }} />
      ))}
      <i class="thread thread-cord" style={{ "--column": loom.cordColumn }} />
    </div>
  );
}

export function Day({ picture, loom, isPlanned }: { picture: DayPicture; loom: Loom; isPlanned: boolean }) {
  return (
    <div class={`day ${loom.columns > 3 ? "day-many" : ""}`} style={{ "--columns": columnsOf(loom), "--rail-count": loom.columns }}>
      <Heads loom={loom} />
      {picture.ill.map((line) => <p key={line} class="ill">{line}</p>)}
      <div class="weave">
        <Threads loom={loom} />
        {picture.earlierCount > 0 ? (
          <details class="earlier">
            <summary>{words.sinceEarlier(picture.earlierCount)}</summary>
            {picture.earlier.map((block) => <BlockView key={block.id} block={block} loom={loom} />)}
          </details>
        ) : null}
        {picture.isEmpty && isPlanned ? <p class="open open-day">{words.nothingPlaced}</p> : null}
        {picture.blocks.map((block) => <BlockView key={block.id} block={block} loom={loom} isPlanned={isPlanned} />)}
      </div>
    </div>
  );
}
