"""Themes: what one costs this household, how it shrinks, what comes after the week."""
