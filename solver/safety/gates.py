"""The table of contents of safety: one gate a line, what it reads, why, and who says so.

Sources are given with their standing: unmarked, the publisher's own text was seen; *quoted*, a quotation was
seen; *from memory*, not seen. "Common practice, no source" says just that. Ages are whole months.
"""

from __future__ import annotations

from dataclasses import dataclass

from solver.domain.activity import Hazard
from solver.domain.base import Help
from solver.safety.allergies import airborne, avoided, avoided_by_adults, mild, mouthed
from solver.safety.asks import (
    always,
    apply_all,
    at_least,
    eczema_cracked,
    eczema_flaring,
    floor_mess,
    hay_fever,
    keep_from,
    mould,
    nothing_more,
    one_adult_each,
    raw_beans,
    raw_flour,
)
from solver.safety.scene import Acts, Scene, at_floor_level, little, mouthing, under, under_or_mouthing

_PRACTICE = "common practice, no source"
_SMALL_PARTS = "US 16 CFR 1501.4 and 1500.18(a)(9)"
_SMALL_BALLS = "US 16 CFR 1500.19(a)(2); 1500.18(a)(17) from memory"
_BALLOONS = "US 16 CFR 1500.19(b)(4) (quoted)"
_WATER = "Caring for Our Children 2.2.0.4; AAP, Prevention of Drowning, Pediatrics 2019;143(5):e20190850"
_RAW_DOUGH = "US CDC and FDA on raw flour and dough, craft dough included (quoted)"
_ALLERGENS = "the nine: US FD&C Act 201(qq), FASTER Act P.L. 117-11 (quoted); how strict: your own doctor"
_AMPHIBIANS = "US CDC on amphibians and children under 5 (quoted)"
_CHOKING = "AAP, Pediatrics 2010;125(3):601-607; the list by HealthyChildren, AAP (quoted)"
_SKIN = f"{_PRACTICE}; the child's own doctor goes first"


@dataclass(frozen=True, slots=True)
class Gate:
    """One thing that can hurt, and what it asks."""

    key: str
    reads: frozenset[Hazard]
    """Acts when the activity brings one of these; empty: it looks at the people instead."""
    sentence: str
    source: str
    acts: Acts
    caution: str = ""
    """Shown on the card whenever the gate acts."""
    at_meals: bool = True
    """False: over once everybody is seated to eat (what was raw is cooked, nothing is on the floor)."""

    def looks_at(self, scene: Scene) -> bool:
        """Whether it has anything to ask of such a sitting."""
        meant = not self.reads or scene.has(*self.reads)
        return meant and (self.at_meals or not scene.sitting.meals)


def _gate(
    key: str,
    reads: set[Hazard],
    sentence: str,
    source: str,
    acts: Acts,
    caution: str = "",
    at_meals: bool = True,
) -> Gate:
    return Gate(key, frozenset(reads), sentence, source, acts, caution, at_meals)


GATES: tuple[Gate, ...] = (
    _gate(
        "small_part",
        {Hazard.SMALL_PART},
        "Small parts can choke whoever is under 3 or still puts things in the mouth.",
        _SMALL_PARTS,
        keep_from(little),
        "What fits into a tube 3 cm (1.25 in) wide is a small part: count the pieces out and in again.",
    ),
    _gate(
        "small_ball",
        {Hazard.SMALL_BALL},
        "Small balls and marbles can choke whoever is under 3 or still puts things in the mouth.",
        _SMALL_BALLS,
        keep_from(little),
        "A ball that passes a hole of 4.4 cm (1.75 in) is a choking hazard: not for children under 3.",
    ),
    _gate(
        "dry_grain",
        {Hazard.DRY_GRAIN},
        "Loose grain, beans and pasta can choke whoever is under 3 or still puts things in the mouth.",
        f"{_SMALL_PARTS}, applied to loose grain by common practice",
        keep_from(little),
        "Lay a sheet underneath and sweep up before anybody small is on the floor again.",
    ),
    _gate(
        "balloon",
        {Hazard.BALLOON},
        "Uninflated or burst balloons can choke children under 8: an adult handles them.",
        _BALLOONS,
        apply_all(keep_from(little), at_least(Help.BESIDE, under(96))),
        "The adult alone handles the balloon; every piece goes into the bin at once.",
    ),
    _gate(
        "magnet",
        {Hazard.MAGNET},
        "Swallowed magnets pull together inside the body; they stay away from whoever mouths things.",
        "US 16 CFR 1262.2-1262.3",
        apply_all(keep_from(little), at_least(Help.DIPS_IN, under(96))),
        "No small strong magnets (flux index of 50 or more). If one is swallowed, get medical help at once.",
    ),
    _gate(
        "button_cell",
        {Hazard.BUTTON_CELL},
        "A swallowed button cell burns within hours; children up to 6 do not handle things that hold one.",
        "16 CFR 1263 and ANSI/UL 4200A-2023 (Reese's Law, P.L. 117-171)",
        keep_from(under_or_mouthing(84)),
        "Only with a battery door that is screwed shut. If one is swallowed, get medical help at once.",
    ),
    _gate(
        "water_beads",
        {Hazard.WATER_BEADS},
        "Water beads swell inside the body; they do not come into a home with small children.",
        "US 16 CFR 1250.4, Federal Register 2025-12-12 (quoted) sets limits; here kept out altogether",
        always,
    ),
    _gate(
        "choking_food",
        {Hazard.CHOKING_FOOD},
        "Nuts, whole grapes, popcorn, hard raw pieces and sticky sweets can choke children under 4.",
        _CHOKING,
        keep_from(under_or_mouthing(48)),
        "Everybody sits to eat.",
    ),
    _gate(
        "raw_beans",
        {Hazard.RAW_BEANS},
        "Four or five raw red kidney beans can make a child ill; they are not for play.",
        "Penn State and Iowa State extension, citing the US FDA",
        raw_beans,
        "Soaked, then boiled hard by an adult before anybody tastes them.",
    ),
    _gate(
        "raw_flour",
        {Hazard.RAW_FLOUR},
        "Raw flour and raw dough can carry germs: no tasting, and not for whoever mouths things.",
        _RAW_DOUGH,
        raw_flour,
        "Raw flour: no tasting, wash hands for 20 seconds afterwards. Cooked dough is safer for play.",
        at_meals=False,
    ),
    _gate(
        "water",
        {Hazard.WATER},
        "A few centimetres of water can drown a small child: an adult stays within arm's reach.",
        _WATER,
        apply_all(
            at_least(Help.BESIDE, under(60)), keep_from(under_or_mouthing(60), those_taking_part=False)
        ),
        "Never leave the water, not for a moment; tip it out as soon as it is over.",
    ),
    _gate(
        "open_water",
        {Hazard.OPEN_WATER},
        "At open water each child under 5 has an adult of their own, within arm's reach.",
        f"{_WATER}; RoSPA on pond dipping",
        apply_all(
            one_adult_each(under(60)),
            at_least(Help.HANDS_ON, under(60)),
            at_least(Help.BESIDE, under(96)),
            keep_from(under_or_mouthing(60), those_taking_part=False),
        ),
        "A baby stays strapped in, away from the edge. Signs on the spot and local rules go first.",
    ),
    _gate(
        "hot",
        {Hazard.HOT},
        "What is hot burns small skin quickly: the adult alone handles it.",
        "US CPSC, publication 5098, on tap water (quoted); for oven and pan common practice, no source",
        at_least(Help.DIPS_IN, under(72)),
        "Oven, pan and hot water are the adult's; handles turned in, small ones out of reach.",
        at_meals=False,
    ),
    _gate(
        "candle",
        {Hazard.CANDLE},
        "An open flame needs an adult beside it.",
        _PRACTICE,
        at_least(Help.BESIDE, under(72)),
        "Candle out of reach, hair and sleeves tied back, never left burning.",
    ),
    _gate(
        "sharp",
        {Hazard.SHARP},
        "Sharp tools need an adult beside a child under 4.",
        _PRACTICE,
        at_least(Help.BESIDE, under(48)),
        "Sit down to cut; the tool goes back out of reach at once.",
    ),
    _gate(
        "glass",
        {Hazard.GLASS},
        "Glass can break: an adult is beside a child under 3, and a child who mouths things gets plastic.",
        _PRACTICE,
        apply_all(keep_from(mouthing, those_about=False), at_least(Help.BESIDE, under(36))),
        "The adult carries the glass; a plastic jar does as well.",
    ),
    _gate(
        "long_string",
        {Hazard.LONG_STRING},
        "Long string, ribbon and wool can strangle; they stay away from children under 3.",
        f"{_PRACTICE}; toy standard ASTM F963 limits cords for the youngest (from memory)",
        keep_from(little),
        "Cut it under 20 cm where you can, never round the neck, and count the ends back in.",
    ),
    _gate(
        "plastic_film",
        {Hazard.PLASTIC_FILM},
        "Plastic film can smother; it stays away from whoever is under 3 and loose.",
        _PRACTICE,
        apply_all(
            keep_from(little, those_taking_part=False),
            keep_from(mouthing, those_about=False),
            at_least(Help.BESIDE, under(36)),
        ),
        "Film and bags go into the bin or out of reach straight afterwards.",
    ),
    _gate(
        "glitter",
        {Hazard.GLITTER},
        "Glitter gets into eyes and mouths; not for whoever mouths things or crawls.",
        _PRACTICE,
        keep_from(at_floor_level),
        "Hands away from eyes; wipe the floor, do not blow.",
    ),
    _gate(
        "floor_mess",
        set(),
        "What falls on the floor ends in the mouth of a crawling child.",
        _PRACTICE,
        floor_mess,
        at_meals=False,
    ),
    _gate(
        "salt",
        {Hazard.SALT},
        "Much salt is not for eating.",
        _PRACTICE,
        keep_from(mouthing, those_about=False),
        "Very salty: no eating, keep it from pets; it stings sore skin.",
    ),
    _gate(
        "soil",
        {Hazard.SOIL},
        "Soil goes on hands, not in mouths.",
        "hand-washing: US CDC, scrub for at least 20 seconds (quoted); the rest common practice, no source",
        at_least(Help.BESIDE, mouthing),
        "Check for pet mess first; wash hands for 20 seconds before food.",
    ),
    _gate(
        "amphibian",
        {Hazard.AMPHIBIAN},
        "Children under 5 look at frogs, newts and tadpoles but do not touch them or their water.",
        _AMPHIBIANS,
        apply_all(at_least(Help.DIPS_IN, under(60)), keep_from(mouthing, those_about=False)),
        "Under-5s look, hands behind the back; wash hands afterwards. Local rules on taking spawn go first.",
    ),
    _gate(
        "sealed_mould",
        {Hazard.SEALED_MOULD},
        "Growing mould is not for a house with asthma or a mould allergy.",
        f"{_PRACTICE}; the family's doctor goes first",
        mould,
        "Never open the bag; bin it sealed within a week.",
    ),
    _gate(
        "chronic_art_material",
        {Hazard.CHRONIC_ART_MATERIAL},
        "Art materials labelled inappropriate for use by children are not used here.",
        "15 U.S.C. 1277(b)(5); 16 CFR 1500.14(b)(8)",
        always,
    ),
    _gate(
        "borax",
        {Hazard.BORAX},
        "Borax and boric acid are not used in home slime or dough here.",
        "Health Canada, July 2016 (quoted)",
        always,
    ),
    _gate(
        "slippery",
        {Hazard.SLIPPERY},
        "Wet or covered floors slip.",
        _PRACTICE,
        nothing_more,
        "Bare feet or grippy soles; wipe or tape down at once.",
    ),
    _gate(
        "traffic",
        {Hazard.TRAFFIC},
        "Near cars a child under 5 holds a hand.",
        _PRACTICE,
        at_least(Help.BESIDE, under(60)),
        "Hold hands near cars and vans; local traffic rules go first.",
    ),
    _gate(
        "hay_fever",
        {Hazard.POLLEN},
        "Grasses and flowers can set off hay fever or asthma.",
        _SKIN,
        hay_fever,
    ),
    _gate(
        "eczema_flaring",
        {Hazard.SALT, Hazard.WET_HANDS},
        "While eczema flares, hands are wet or salty for 15 minutes at most.",
        _SKIN,
        eczema_flaring,
    ),
    _gate(
        "eczema_cracked",
        {Hazard.SALT, Hazard.WET_HANDS},
        "Cracked skin stays out of water and salt until it has healed.",
        _SKIN,
        eczema_cracked,
    ),
    _gate(
        "allergy_avoid",
        set(),
        "Whoever must avoid something takes no part in what holds it.",
        _ALLERGENS,
        avoided,
    ),
    _gate(
        "allergy_airborne",
        set(),
        "Whoever reacts to it in the air is out of the house while it is used.",
        _ALLERGENS,
        airborne,
    ),
    _gate(
        "allergy_mouthed",
        set(),
        "A mouthing or crawling child does not come near crumbs of what must be avoided.",
        _PRACTICE,
        mouthed,
    ),
    _gate(
        "allergy_adults",
        set(),
        "An adult who must avoid something does not lead what holds it.",
        _ALLERGENS,
        avoided_by_adults,
    ),
    _gate(
        "allergy_mild",
        set(),
        "A mild allergy is named on the card.",
        _ALLERGENS,
        mild,
    ),
)
