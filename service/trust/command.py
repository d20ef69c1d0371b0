"""``lapful certificate``: an authority of the family's own, shown, made anew, or thrown away."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer


def certificate(
    data: Annotated[
        Path | None,
        typer.Option("--data", help="The data folder; the usual place for this user if not given."),
    ] = None,
    name: Annotated[
        list[str] | None,
        typer.Option(help="Another name or address of this machine in the home network; may be repeated."),
    ] = None,
    anew: Annotated[
        bool, typer.Option("--anew", help="Make a new one; devices must be told to trust that one.")
    ] = False,
    forget: Annotated[bool, typer.Option("--forget", help="Throw it away.")] = False,
) -> None:
    """Make the certificate with which the home network's devices may trust this machine, and explain it."""
    from service.store import default_folder
    from service.trust.keeping import Trust
    from service.trust.telling import explained

    folder = data or default_folder()
    folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    trust = Trust(folder)
    if forget:
        print("It is thrown away." if trust.forget() else "There was none.")
        print("Take it out of the devices too, under security settings, trusted or user certificates.")
        return
    kept = None if anew or name else trust.authority()
    for line in explained(kept or trust.make(name or ()), trust.authority_file):
        print(line)
