"""English words on a page that should speak another language."""

from __future__ import annotations

import re
from collections.abc import Iterable

from playwright.sync_api import Page

_WORDS = """
    after again all also an and any are as at be because been before but by can cannot does each every for
    from had have here how if into is it its left more most must nobody nothing not of off on only or other
    out over shall should so some than that the their them then there these they this those to today until
    up was were what when which while who will with without would you your
    Monday Tuesday Wednesday Thursday Friday Saturday Sunday
"""
_ENGLISH = re.compile(rf"\b(?:{'|'.join(_WORDS.split())})\b", re.IGNORECASE)
"""Small words that no sentence does without; none of them is a Spanish word too."""
_PUBLISHED = re.compile(
    "|".join(
        (
            r"Language and Communication",
            r"Perceptual, Motor, and Physical Development",
            r"Social and Emotional Development",
            r"Approaches to Learning",
            r"Caring for Our Children",
            r"Prevention of Drowning",
            r"Head Start Early Learning Outcomes Framework[^.]*",
            r"World Health Organization, physical activity, sedentary behaviour and sleep under 5 years",
            r"Common Core State Standards, kindergarten, NGA Center and CCSSO 2010",
            r"US FD&C Act 201\(qq\)",
        )
    )
)
"""What publishers call themselves, their papers and the domains in them."""
_SAID = """() => {
  const found = [];
  const walk = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  for (let at = walk.nextNode(); at; at = walk.nextNode()) {
    const around = at.parentElement;
    if (around.closest('[lang=en], script, style, textarea')) continue;
    if (around.checkVisibility({visibilityProperty: true})) found.push(at.textContent.trim());
  }
  for (const one of document.querySelectorAll('[aria-label], [title], [placeholder]')) {
    if (one.closest('[lang=en]') || !one.checkVisibility({visibilityProperty: true})) continue;
    for (const name of ['aria-label', 'title', 'placeholder']) found.push(one.getAttribute(name) ?? '');
  }
  return found.filter(Boolean);
}"""


def said_on(page: Page) -> list[str]:
    """Every text that is seen or read aloud, but for what is marked as English."""
    found: list[str] = page.evaluate(_SAID)
    return list(dict.fromkeys(found))


def english_in(texts: Iterable[str]) -> list[str]:
    """Those in which English stands, but for what publishers call their own."""
    return [text for text in texts if _ENGLISH.search(_PUBLISHED.sub("", text))]
