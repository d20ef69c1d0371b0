"""Prints our OpenAPI document: ``python -m service.openapi``."""

from __future__ import annotations

import json

from service.app import bare_app


def document_text() -> str:
    """The OpenAPI document as JSON text."""
    return json.dumps(bare_app().openapi(), indent=2, ensure_ascii=False)


if __name__ == "__main__":
    print(document_text())
